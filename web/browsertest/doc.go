// Package browsertest looks at the pages as a person does: in a real browser, at
// a phone's and a laptop's width, light and dark, with and without scripts. It is
// tests only.
//
// The tests serve a book out of a temporary folder and drive Debian's Chromium
// through its debugging protocol. Every tab is watched while it is driven: a
// breach of the Content-Security-Policy, an error in the console, an exception or
// a request to another host fails the test whatever else it does. Each page is
// held against the rules of axe-core (from npm, test only) for WCAG 2.2 A and AA,
// must not scroll sideways and must have targets large enough for a finger.
//
// Without Chromium the tests are skipped with a message that says so; with CI=true
// they fail instead.
package browsertest
