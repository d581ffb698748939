package main

import (
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"strings"
	"time"
)

// call is one call of a command: its flags, its arguments and where it reads and writes.
type call struct {
	ctx            context.Context
	name           string
	set            *flag.FlagSet
	args           []string // as given; after parse what is no flag
	stdin          io.Reader
	stdout, stderr io.Writer
	now            func() time.Time
	data           string
	json           bool
	toVerify       bool // records are opened though their ground may be damaged
}

func newCall(ctx context.Context, name string, args []string, stdin io.Reader, stdout, stderr io.Writer) *call {
	c := &call{ctx: ctx, name: name, args: args, stdin: stdin, stdout: stdout, stderr: stderr, now: time.Now}
	c.set = flag.NewFlagSet(name, flag.ContinueOnError)
	c.set.SetOutput(io.Discard)
	return c
}

// withData gives the command --data, withJSON --json.
func (c *call) withData() { c.set.StringVar(&c.data, "data", "", "") }
func (c *call) withJSON() { c.set.BoolVar(&c.json, "json", false, "") }

// parse reads flags before, between and after the other words, and wants each of those; names say what they are.
func (c *call) parse(names ...string) error { return c.parseWords(len(names), names...) }

// parseWords is parse where only the first words must be there.
func (c *call) parseWords(least int, names ...string) error {
	var words []string
	rest := c.args
	for {
		if err := c.set.Parse(rest); errors.Is(err, flag.ErrHelp) {
			return err
		} else if err != nil {
			return usage(say("cmd.flag", "Problem", err))
		}
		if c.set.NArg() == 0 {
			break
		}
		words, rest = append(words, c.set.Arg(0)), c.set.Args()[1:]
	}
	c.args = words
	switch {
	case len(words) < least:
		return usage(say("cmd.missing", "What", names[len(words)]))
	case len(words) > len(names):
		return usage(say("cmd.extra", "Text", words[len(names)]))
	}
	return nil
}

// given tells whether a flag was written.
func (c *call) given(name string) bool {
	found := false
	c.set.Visit(func(f *flag.Flag) { found = found || f.Name == name })
	return found
}

func (c *call) say(key string, args ...any) { fmt.Fprintln(c.stdout, say(key, args...)) }

// warn tells something beside the result, so that a machine reading the result is not disturbed.
func (c *call) warn(key string, args ...any) { fmt.Fprintln(c.stderr, say(key, args...)) }

// encode writes a result for a machine.
func (c *call) encode(v any) error {
	encoder := json.NewEncoder(c.stdout)
	encoder.SetIndent("", "  ")
	encoder.SetEscapeHTML(false)
	return encoder.Encode(v)
}

// finish turns a wish for help into help.
func (c *call) finish(err error) error {
	if !errors.Is(err, flag.ErrHelp) {
		return err
	}
	_, err = io.WriteString(c.stdout, say("cmd.help."+c.name))
	return err
}

// list joins words for a sentence.
func list(words []string) string { return strings.Join(words, ", ") }
