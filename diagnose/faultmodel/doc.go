// Package faultmodel reads and writes the file of a fault model: which faults a
// symptom can have, how each test comes out under each of them, what each
// repair costs and cures. The case file of the command is the same file with
// the evidence at its end.
//
// In: YAML (JSON is YAML). Out: a [Model], the [diagnose.Case] in it checked, or
// one [casefile.Error] that names the file, the line, what is wrong and what was
// expected. [Model.YAML] writes the canonical form, from which [Parse] reads the
// same model; [Implied] says in words what each likelihood claims, so that a
// person can tell whether he believes it. The format is argued in
// docs/decisions/0034-fault-model-file.md.
package faultmodel
