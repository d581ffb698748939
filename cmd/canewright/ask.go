package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"unicode/utf8"

	"golang.org/x/term"
)

// terminal is the terminal somebody sits at; false when input comes from elsewhere.
func (c *call) terminal() (*os.File, bool) {
	f, ok := c.stdin.(*os.File)
	return f, ok && term.IsTerminal(int(f.Fd()))
}

// asker asks questions on a terminal, or of a test's reader.
type asker struct {
	c     *call
	lines *bufio.Reader
}

// ask asks until check is content; a blank answer takes what is offered.
func (a *asker) ask(question, offered string, check func(string) error) (string, error) {
	for {
		fmt.Fprint(a.c.stdout, question)
		if offered != "" {
			fmt.Fprintf(a.c.stdout, " [%s]", offered)
		}
		fmt.Fprint(a.c.stdout, ": ")
		line, err := a.lines.ReadString('\n')
		answer := strings.TrimSpace(line)
		if answer == "" {
			answer = offered
		}
		if answer == "" && err != nil {
			return "", usage(say("cmd.ask.ended"))
		}
		if problem := check(answer); problem == nil {
			return answer, nil
		} else if err != nil {
			return "", problem
		} else {
			fmt.Fprintln(a.c.stdout, problem)
		}
	}
}

func filled(answer string) error {
	if answer == "" {
		return errors.New(say("invalid.required"))
	}
	return nil
}

// The store's own bounds of a password, checked here before anything is written.
const (
	shortestPassword = 10
	longestPassword  = 72
)

func checkPassword(password string) error {
	if utf8.RuneCountInString(password) < shortestPassword || len(password) > longestPassword {
		return usage(say("sign.password_length", "Min", shortestPassword, "Max", longestPassword))
	}
	return nil
}

// password reads a new password: the first line of a file, of standard input for "-", or from the terminal, twice and
// without showing it.
func (c *call) password(from string) (string, error) {
	switch from {
	case "":
		return c.typedPassword()
	case "-":
		return firstLine(c.stdin)
	}
	f, err := os.Open(from)
	if err != nil {
		return "", err
	}
	defer f.Close()
	return firstLine(f)
}

func firstLine(r io.Reader) (string, error) {
	line, err := bufio.NewReader(io.LimitReader(r, 4096)).ReadString('\n')
	if err != nil && !errors.Is(err, io.EOF) {
		return "", err
	}
	password := strings.TrimRight(line, "\r\n")
	return password, checkPassword(password)
}

func (c *call) typedPassword() (string, error) {
	f, ok := c.terminal()
	if !ok {
		return "", usage(say("cmd.need_flag", "Flag", "--password-from", "Example", "--password-from -"))
	}
	for {
		first, err := c.hidden(f, say("cmd.ask.password"))
		if err != nil {
			return "", err
		}
		if problem := checkPassword(first); problem != nil {
			fmt.Fprintln(c.stdout, problem)
			continue
		}
		again, err := c.hidden(f, say("cmd.ask.password_again"))
		if err != nil {
			return "", err
		}
		if first == again {
			return first, nil
		}
		c.say("cmd.ask.password_differs")
	}
}

func (c *call) hidden(f *os.File, question string) (string, error) {
	fmt.Fprint(c.stdout, question+": ")
	typed, err := term.ReadPassword(int(f.Fd()))
	fmt.Fprintln(c.stdout)
	return string(typed), err
}
