// Command wreckwright is the workbench of a rebuild.
//
// Each command has a file of its own, named for it, and one line in the program
// struct in main.go. A command's Run prints to the [output] that it is given;
// what it prints reaches standard output only when it succeeded. Case files are
// read in the files named ..._case.go.
//
// Exit status: 0 done, 1 failed, 2 misused or a mistake in the input. Messages
// go to standard error, one line, after the program's name.
package main
