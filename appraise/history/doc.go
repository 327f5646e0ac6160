// Package history answers whether a car's story holds together, whether it may
// return to the road, and what must be done and told about it.
//
// In: a [Case] - the jurisdiction, the day of first use, the events as typed -
// and the [Rules]: jurisdictions, salvage categories and rules of consistency,
// which are data with severity, text, source and date. Out: a [Result] - the
// answer with its reason, what must be done before the road, what must be told
// on a sale, findings, the timeline with its flags, and the working.
//
// Method. Events are put in order of their dates. Readings are compared one by
// one in the vehicle's unit: a single reading out of line is set aside first, a
// fall or leap by the ratio of mile and kilometre is asked about and not held
// against anybody. Every salvage mark is looked up in the table of the place
// where it was given (an import says where the car was before); the hardest mark
// that no later one lifts decides, and a final one always does. A jurisdiction
// or a category that is not known gives "unknown" and the advice to ask the
// authority, never "yes".
//
// The thresholds are of our own design and say so; law that was read second hand
// or is from memory says so where it is shown, and defers to the authority. The
// answer is information, no legal advice, and speaks only of what was typed.
//
// ref: DESIGN_HISTORY
package history
