// Command canewright keeps the records of a house that makes cane syrup: it serves the pages people work on, and does on
// the command line what an office needs of them.
package main

import (
	"context"
	"io"
	"os"
	"os/signal"
	"syscall"
	_ "time/tzdata" // a machine without zone files still knows the house's hour
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	code := run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}

// Exit codes of every command.
const (
	exitDone  = 0
	exitWrong = 1 // found something wrong, or could not do it
	exitUsage = 2 // asked wrongly
)

// run is the whole program: arguments in, exit code out.
func run(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	if len(args) == 0 {
		io.WriteString(stderr, say("cmd.help"))
		return exitUsage
	}
	name, rest := args[0], args[1:]
	switch name {
	case "help", "-h", "-help", "--help":
		return help(rest, stdout, stderr)
	case "calc":
		return calc(rest, stdout, stderr)
	}
	do, ok := commands()[name]
	if !ok {
		return complain(stderr, "", usage(say("cmd.unknown", "Name", name)))
	}
	c := newCall(ctx, name, rest, stdin, stdout, stderr)
	return complain(stderr, name, c.finish(do(c)))
}

// command does one thing; its error is what is told at the end.
type command func(c *call) error

func commands() map[string]command {
	return map[string]command{
		"demo": demo, "serve": serve, "trace": traceLot, "labels": printLabels, "sheet": batchSheet, "packet": writePacket,
		"verify": verify, "backup": backup, "restore": restore, "user": user, "version": version,
	}
}

// help prints the help of all commands or of one.
func help(args []string, stdout, stderr io.Writer) int {
	if len(args) == 0 {
		io.WriteString(stdout, say("cmd.help"))
		return exitDone
	}
	if args[0] == "calc" {
		return calc([]string{"help"}, stdout, stderr)
	}
	if _, ok := commands()[args[0]]; !ok {
		return complain(stderr, "", usage(say("cmd.unknown", "Name", args[0])))
	}
	io.WriteString(stdout, say("cmd.help."+args[0]))
	return exitDone
}
