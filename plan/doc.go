// Package plan answers in what order the work is done, when each piece and each
// milestone is reached, with what chance, and what to do today.
//
// In: a [Problem] - tasks with their lengths, what they come after, whom and
// what they use, lead times, slots of outside work, the hours of a week, days
// away, milestones with wished dates. Out: a [Schedule] with its critical chain
// and lower bounds ([Arrange]), chances and quantiles ([Simulate]), both as one
// [Result] ([Run]); what a day earlier is worth ([WorthOfDay]), the effect of a
// change ([WhatIf]), the list for today ([WhatNow]), a calendar file
// ([ICalendar]).
//
// Time is counted in days from midnight of the start date. Inside, it is whole
// ticks of 0.1 ms, so that sums of decimal days are exact. A day of own work is
// a seventh of the week's hours. Own work goes on only in the working time that
// all its people share and pauses outside it, keeping what it holds; lead times,
// outside work and lags run on calendar days, less those on which something that
// they hold is away.
//
// Order. A schedule is made by the serial or the parallel scheme out of a list
// of tasks: [Arrange]'s first population has both by four priority rules, and
// the serial one by regret-biased sampling. The search is genetic on activity lists: a child takes
// a stretch of places from one parent and the others from another, or throws a
// stretch of one anew; each is improved by double justification, every pass
// counted as one schedule, and takes the place of the worse plan that is most like
// it. It aims at the least lateness of milestones first, then at the
// earliest finish. The budget in schedules decides, not the clock, so that the
// same seed gives the same plan; a context that ends only stops it early, and
// the result says so.
//
// Doubt. Each trial draws all lengths and plays the plan by a policy that knows
// at any moment only what has happened by then; see [Policy]. A wished date is
// kept by what is done by that day's morning.
//
// ref: DESIGN_PLAN; KOLISCH_1996 serial scheme; KOLISCH_1996 parallel scheme; VALLS_2005 double justification
package plan
