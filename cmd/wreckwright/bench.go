package main

// benchCommand is every instrument.
type benchCommand struct {
	Recharge rechargeCommand `cmd:"" help:"Whether a hydraulic power unit is healthy, from a pressure log or pump times."`
}
