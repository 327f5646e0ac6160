// Package casefile reads the YAML (or JSON) case files of the commands that
// work without a book, strictly and with positions.
//
// In: a file. Out: its values by key, or one [Error] that names the file, the
// line, the key, what was wrong and what was expected. Unknown keys, missing
// keys, wrong types and impossible values are all mistakes; so are keys given
// twice, several documents, tags, and numbers that two readers could read
// differently (010, 1_000, 0x10).
//
// A reader asks for every key that it knows, with [Mapping.Need] or
// [Mapping.May], never checks for errors on the way, and asks [File.Err] once
// at the end: what was never asked for is an unknown key. Of several mistakes
// the first in the file is reported.
//
//	file, err := casefile.Read(path)
//	root := file.Root()
//	spent := root.Need("spent").Number(uncertain.MoneyBounds)
//	if v, ok := root.May("ceiling"); ok {
//		ceiling = new(v.Number(uncertain.MoneyBounds))
//	}
//	for _, v := range root.Need("jobs").List() {
//		job := v.Mapping()
//		...
//	}
//	if err := file.Err(); err != nil {
//		return err
//	}
//
// ref: YAML_1_2; RFC_8259
package casefile
