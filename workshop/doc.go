// Package workshop is the use cases: it takes a rebuild out of the book, asks
// the engines, and gives answers that a page can show. It is the only room that
// knows both the rebuild and the engines; every translation between them is a
// small named function here.
//
// In: a [rebuild.Rebuild] (package store keeps it) and the day. Out: [Outlook]
// (what it will come to), [WhatIf] outlooks, [Answers] to the five questions of
// the first page, ranked [Action]s, [RouteView]s of one job, [Savings], the
// [Fan] over time, pasted bills as entries, the [Diagnosis] of a case. Answers are
// kept by rebuild, version and day, a case's advice by what it was worked out
// from, so that a page asks for them freely.
//
// # How a rebuild becomes a forecast
//
//   - Spent is the whole ledger. Where an own hour has a worth, hours already
//     spent count at that worth, beside the ledger: else finishing a job would
//     make the car cheaper.
//   - A job ahead (open, waiting, doing) is planned with [rebuild.Job.Planned]:
//     the chosen route or, while none is chosen, the one of least likely cost.
//     Its fallback is paid when the route does not work; where the job is marked
//     as failed, the fallback is certain. A job that is being done is needed,
//     whatever was thought of its need before.
//   - What was paid on a job counts as part of its cost: in each trial what is
//     still to pay is the cost, fallback included, less what was paid, never
//     below zero. Hours likewise. Sales of old parts are not part of what a route
//     was thought to cost: they lower what is spent and leave the job's cost
//     alone.
//   - A finished job costs what the ledger says. One without an entry that is
//     not marked as costing nothing counts with its range as "not yet written
//     down", without its fallback unless it failed.
//   - A dropped job costs no more than what was spent on it.
//   - A job without any usable route, and a finding that no job settles, have no
//     figure. They are not in the forecast, and [Gaps] says so aloud.
//   - Each zone with faults still to be expected is one hidden item.
//   - The own record is the finished jobs with an estimate from before
//     ([rebuild.Job.ForecastRange]) and what the ledger says they cost.
//   - Random numbers belong to the job and its route, so that adding, dropping or
//     changing one job leaves the draws of all others alone.
//
// Trials are 20,000, fewer where there are many items ([trialsFor]); every
// outlook says how many, and the standard error of its chance.
//
// ref: DESIGN_FORECAST
package workshop
