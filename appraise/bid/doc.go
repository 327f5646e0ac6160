// Package bid answers what is the most to pay for a car that is to be repaired:
// the largest hammer price at which the chance of the profit that is wanted is
// still as high as wanted.
//
// In: a [Case] - the value when done, the marker's discount, what selling costs,
// the cost of jobs and hidden damage as a column of trials (a forecast's sample;
// this package simulates no jobs), other costs, the buyer's fees, the profit
// wanted and the confidence. Out: a [Result] - the largest affordable bid, the
// safe bid, chance and expected profit over the bids, drivers, the working.
//
// Method. In trial i the money that is there before anything is paid for the car
// is
//
//	before_i = value_i (1 - discount_i) (1 - selling share) - fixed selling cost
//	           - jobs and hidden damage_i - other costs_i
//
// and the profit at the hammer price h is before_i - all_in(h), with all_in the
// price, the fee and their taxes. h moves every trial by the same amount, so one
// sorted column answers for all prices: profit >= wanted with the chance c where
// all_in(h) <= budget, the budget being the (n - ceil(c n) + 1)-th smallest of
// before less the profit wanted. The fees are then turned round exactly, in
// minor units: within a band all_in rises with h, at a band's edge it may fall,
// so that a higher bid can be the cheaper one. The largest affordable bid is
// looked for band by band from above; the safe bid is the largest below which
// every lower bid is affordable too, which is what counts for somebody who may
// win below the own maximum.
//
// Value, discount and other costs have random numbers of their own and are
// drawn independently of one another and of the jobs; a sorted column of jobs
// is as good as one in the order of the trials.
//
// Fees. The last band whose From is not above the price applies to the whole
// price. A band's fee is fixed + share of the price, but at least its minimum.
// The fee, the tax on it and the tax on the price are each rounded to the minor
// unit, halves away from zero.
//
// Keep mode. Nothing is sold: the value is what an equal undamaged car would
// cost, there is no selling cost, and the marker's discount is left out (it is
// lost on the day the car is sold after all). Profit is then what is saved
// against buying that car.
//
// ref: DESIGN_BID
package bid
