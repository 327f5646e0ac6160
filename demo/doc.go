// Package demo is the invented example: a book with three rebuilds that never
// happened - one under way, one just begun, one on the road again - and three cars
// that are weighed before buying - one not to be bought, a fair one, one to be
// kept - for looking around before there is a book of one's own.
//
// In: the pages in content/ (YAML, read strictly), drawings made by small
// functions - they lie ready as PNG in content/pictures, so that building the book
// takes no time for them - and the day. Out: a book, built by playing the story
// through [store.Book.Do] with a clock that runs through its seven months, so that the
// journal, undo and the earlier forecasts are those of a real one. Fault models
// come from package knowledge, as a reader of the book would pick them. Dates are
// counted back from the last Saturday before today, so that the helper who comes
// on Saturdays does so whatever the day, and the book never looks old. The same
// day gives the same book.
//
// Makers, cars, people, suppliers and sums are invented; photos are drawings and
// say so. Nothing here is a check of correctness of anything else.
package demo
