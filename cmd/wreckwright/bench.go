package main

// benchCommand is every instrument.
type benchCommand struct {
	Recharge rechargeCommand `cmd:"" help:"Whether a hydraulic power unit is healthy, from a pressure log or pump times."`
	Listen   listenCommand   `cmd:"" help:"Every run of a pump in a recording made beside the car."`
}
