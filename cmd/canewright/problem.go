package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strings"

	"canewright/hazards/text"
	"canewright/records"
)

// usage says that something was asked wrongly: exit code 2.
type usage string

func (u usage) Error() string { return string(u) }

// found says that a command did its work and found something wrong, which it has told already: exit code 1.
type found struct{}

func (found) Error() string { return "found something wrong" }

// complain tells an error in words that say what to do, and gives the exit code.
func complain(stderr io.Writer, name string, err error) int {
	var asked usage
	switch {
	case err == nil:
		return exitDone
	case errors.As(err, new(found)):
		return exitWrong
	case errors.As(err, &asked):
		fmt.Fprintln(stderr, asked)
		if name != "" {
			name = " " + name
		}
		fmt.Fprintln(stderr, say("cmd.see_help", "Command", "canewright help"+name))
		return exitUsage
	}
	fmt.Fprintln(stderr, problemText(err))
	return exitWrong
}

// speaker is an error that has its own words in every language.
type speaker interface{ Say(text.Language) string }

// problemText writes any error for a person.
func problemText(err error) string {
	var (
		invalid   records.Invalid
		conflict  records.Conflict
		forbidden records.Forbidden
		speaks    speaker
		path      *fs.PathError
	)
	switch {
	case errors.As(err, &invalid):
		return invalidText(invalid)
	case errors.As(err, &conflict):
		return say(conflict.Key, conflict.Args...)
	case errors.As(err, &forbidden):
		return say(forbidden.Key, forbidden.Args...)
	case errors.As(err, &speaks):
		return speaks.Say(text.English)
	case errors.As(err, &path) && errors.Is(err, fs.ErrNotExist):
		return say("cmd.no_file", "Path", path.Path)
	case errors.As(err, &path) && errors.Is(err, fs.ErrPermission):
		return say("cmd.no_permission", "Path", path.Path)
	}
	return err.Error()
}

// invalidText is one line for each wrong field.
func invalidText(wrong records.Invalid) string {
	var lines []string
	for _, f := range wrong {
		said := say(f.Key, f.Args...)
		if f.Field != "" {
			said = strings.ReplaceAll(f.Field, "_", " ") + ": " + said
		}
		lines = append(lines, said)
	}
	return strings.Join(lines, "\n")
}
