package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strconv"
	"strings"
	"syscall"

	"github.com/alecthomas/kong"

	"wreckwright/appraise/bid"
	"wreckwright/appraise/history"
	"wreckwright/appraise/identity"
	"wreckwright/bench/bond"
	"wreckwright/bench/gaugelog"
	"wreckwright/bench/joint"
	"wreckwright/bench/recharge"
	"wreckwright/casefile"
	"wreckwright/money/forecast"
	"wreckwright/plan"
	"wreckwright/web"
)

// program is every command, one line each.
type program struct {
	Serve      serveCommand      `cmd:"" default:"withargs" help:"Serve a book's pages; also what runs without a command."`
	Demo       demoCommand       `cmd:"" help:"Serve an invented example book, to look around in."`
	Export     exportCommand     `cmd:"" help:"Write a whole book as JSON, CSV and files."`
	Import     importCommand     `cmd:"" help:"Make a book out of an export."`
	Backup     backupCommand     `cmd:"" help:"Copy a book, also while it is open."`
	Verify     verifyCommand     `cmd:"" help:"Look through a whole book for faults, or check a build file."`
	BuildFile  buildFileCommand  `cmd:"" name:"buildfile" help:"Write the signed record of a rebuild: PDF, data, readings, photos in one ZIP."`
	Forecast   forecastCommand   `cmd:"" help:"What a rebuild will cost in the end, from a case file."`
	Bid        bidCommand        `cmd:"" help:"The most to pay for a car, from a case file."`
	VIN        vinCommand        `cmd:"" name:"vin" help:"What a vehicle identification number says of itself."`
	History    historyCommand    `cmd:"" help:"Whether a car's story holds, and whether it may return to the road, from a case file."`
	Diagnose   diagnoseCommand   `cmd:"" help:"Which fault it is and what to do next, from a case file."`
	Plan       planCommand       `cmd:"" help:"The order of the work, its dates and their chances, from a case file."`
	Bench      benchCommand      `cmd:"" help:"Instruments: raw readings in, verdict out."`
	Completion completionCommand `cmd:"" help:"Print the completion script of a shell."`
	Licenses   licensesCommand   `cmd:"" help:"Print the notices of the modules in this program."`
	Version    versionCommand    `cmd:"" help:"Print the version."`
}

const description = `The workbench of a rebuild: what it will cost in the end, what to do next, what is still unknown.

Everything stays on this machine. Commands that take a case file work without a book; ` +
	`they print a short result with its working, or one JSON object with --json.`

// The exit statuses.
const (
	exitDone   = 0
	exitFailed = 1
	exitMisuse = 2
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	code := run(ctx, os.Args[1:], os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}

// output is what a command prints. Commands that print a result write to
// Result, which is kept back until they have succeeded; a command that runs for
// long writes to Live.
type output struct {
	Result io.Writer
	Live   io.Writer
	Errors io.Writer
}

// exit is how kong ends the program after --help.
type exit int

// run is the program without its process.
func run(ctx context.Context, args []string, stdout, stderr io.Writer) (code int) {
	defer func() {
		if r := recover(); r != nil {
			status, ok := r.(exit)
			if !ok {
				panic(r)
			}
			code = int(status)
		}
	}()
	parser, err := kong.New(&program{},
		kong.Name("wreckwright"), kong.Description(description), kong.Writers(stdout, stderr),
		kong.Vars{"port": strconv.Itoa(web.DefaultPort)},
		kong.Exit(func(status int) { panic(exit(status)) }),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true, WrapUpperBound: 96}),
	)
	if err != nil {
		return report(stderr, err)
	}
	args = withNegatives(args)
	chosen, err := parser.Parse(args)
	if err != nil {
		return report(stderr, misuse{inPlainWords(mistyped(parser.Model, args, err))})
	}
	var result bytes.Buffer
	chosen.BindTo(ctx, (*context.Context)(nil))
	chosen.Bind(output{Result: &result, Live: stdout, Errors: stderr}, parser.Model)
	if err := chosen.Run(); err != nil {
		return report(stderr, err)
	}
	if _, err := stdout.Write(result.Bytes()); err != nil {
		return report(stderr, fmt.Errorf("cannot write the result: %w", err))
	}
	return exitDone
}

// misuse is a mistake on the command line.
type misuse struct{ error }

func (m misuse) Error() string { return m.error.Error() + "; wreckwright --help lists what there is" }

// report prints one message, with a hint where there is one, and gives the exit status that fits the error.
func report(stderr io.Writer, err error) int {
	fmt.Fprintf(stderr, "wreckwright: %s\n", strings.ReplaceAll(err.Error(), "\n", " "))
	var hinted interface{ Hint() string }
	if errors.As(err, &hinted) {
		fmt.Fprintf(stderr, "wreckwright: hint: %s\n", hinted.Hint())
	}
	if isMisuse(err) {
		return exitMisuse
	}
	return exitFailed
}

// isMisuse reports a mistake on the command line or in a case.
func isMisuse(err error) bool {
	var (
		wrongUse  misuse
		wrongFile *casefile.Error
		wrongCase *forecast.InputError
		wrongBid  *bid.InputError
		wrongVIN  *identity.InputError
		wrongPast *history.InputError
		wrongLog  *gaugelog.Error
		wrongUnit *recharge.InputError
		wrongBolt *joint.InputError
		wrongBond *bond.InputError
		wrongPlan *plan.InputError
		refused   *bond.Refusal
	)
	return errors.As(err, &wrongUse) || errors.As(err, &wrongFile) || errors.As(err, &wrongCase) ||
		errors.As(err, &wrongBid) || errors.As(err, &wrongVIN) || errors.As(err, &wrongPast) ||
		errors.As(err, &wrongLog) || errors.As(err, &wrongUnit) ||
		errors.As(err, &wrongBolt) || errors.As(err, &wrongBond) || errors.As(err, &wrongPlan) || errors.As(err, &refused) || isBadBuildFile(err)
}
