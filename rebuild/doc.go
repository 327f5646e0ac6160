// Package rebuild is the heart: one car on its way back to the road and
// everything that is known about it, with the rules that hold among the parts.
//
// A [Rebuild] is one immutable value: its car with its appraisal, zones, stages,
// findings, jobs with their routes, ledger, measurements, diagnoses, what came off
// and the joints that were tightened. It is loaded whole, read by pages and engines
// side by side, and never altered in place. What a person does is a [Change]:
// a sentence for the journal and the [Edit]s it makes, each with the item as it
// was and as it becomes. The functions in edit_*.go validate what was typed
// against the rebuild and return such a Change; [Rebuild.Apply] gives the next
// value; [Change.Inverse] gives the way back. Nothing here reads a clock, a file
// or a database.
//
// Each item has a number of its own within the rebuild ([Rebuild.NextID]) and a
// revision that grows with each edit; an edit made against an older revision is
// refused as [Conflict], so that two open tabs cannot overwrite each other.
//
// A car that is weighed before it is bought is a rebuild too: its Car is a
// Candidate until [Rebuild.Buy], and its [Appraisal] holds history, worth and the
// costs of buying. Everything else works on it as on any other.
//
// Money in it is exact (package money/amount); ranges of cost are estimates and
// thus floats, in the rebuild's currency (package uncertain).
package rebuild
