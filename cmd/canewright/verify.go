package main

import (
	"errors"
	"fmt"
	"os"
	"strings"

	"canewright/hazards/text"
	"canewright/records"
	"canewright/records/packet"
)

// verify is `canewright verify [F] [--head HASH] [--rebuild-trace]`: the database against its journal, or a packet against its own list.
func verify(c *call) error {
	c.withData()
	c.withJSON()
	head := c.set.String("head", "", "")
	rebuild := c.set.Bool("rebuild-trace", false, "")
	if err := c.parseWords(0, say("cmd.word.file")); err != nil {
		return err
	}
	if len(c.args) == 1 {
		return c.verifyPacket(c.args[0], *head)
	}
	c.toVerify = true
	store, _, err := c.house()
	if err != nil {
		return err
	}
	if *rebuild {
		err = store.RebuildTrace(c.ctx)
	}
	var report records.Report
	if err == nil {
		report, err = store.Verify(c.ctx, *head)
	}
	if err := errors.Join(err, store.Close()); err != nil {
		return err
	}
	return c.tellVerified(report, *head)
}

// faultFound is one fault for a machine.
type faultFound struct {
	Entry  int64  `json:"entry,omitempty"`
	Record string `json:"record,omitempty"`
	What   string `json:"what"`
}

// verified is what verify found, for a machine.
type verified struct {
	Matches   bool         `json:"matches"`
	Entries   int          `json:"entries"`
	HeadSeq   int64        `json:"head_entry"`
	HeadHash  string       `json:"head_hash"`
	HeadFound *bool        `json:"asked_head_found,omitempty"`
	Faults    []faultFound `json:"faults"`
}

func (c *call) tellVerified(report records.Report, head string) error {
	v := verified{Entries: report.Entries, HeadSeq: report.Head.Seq, HeadHash: report.Head.Hash, Faults: []faultFound{}}
	for _, f := range report.Faults {
		v.Faults = append(v.Faults, faultFound{f.Seq, f.RecordID, f.What})
	}
	if head != "" {
		v.HeadFound = &report.HeadSeen
	}
	v.Matches = len(v.Faults) == 0 && (head == "" || report.HeadSeen)
	if c.json {
		if err := c.encode(v); err != nil {
			return err
		}
	} else {
		c.sayVerified(report, head)
	}
	if !v.Matches {
		return found{}
	}
	return nil
}

// sayVerified names the first fault, which is what matters, then the others.
func (c *call) sayVerified(report records.Report, head string) {
	if len(report.Faults) > 0 {
		c.say("cmd.verify.first", "Fault", report.Faults[0])
		for _, f := range report.Faults[1:] {
			fmt.Fprintln(c.stdout, "  "+f.String())
		}
	} else {
		c.say("cmd.verify.matches", "Count", report.Entries)
	}
	c.say("cmd.verify.head", "Seq", report.Head.Seq, "Hash", report.Head.Hash)
	switch {
	case head == "":
	case report.HeadSeen:
		c.say("cmd.verify.head_found", "Head", head)
	default:
		c.say("cmd.verify.head_not_found", "Head", head)
	}
	c.say("cmd.verify.who")
}

// verifyPacket checks a packet's file. A head given is compared with the one the packet names.
func (c *call) verifyPacket(name, head string) error {
	f, err := os.Open(name)
	if err != nil {
		return err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return err
	}
	report, err := packet.Check(f, info.Size())
	if errors.Is(err, packet.ErrNotPacket) {
		return fmt.Errorf("%s: %w", name, err)
	}
	if err != nil {
		return err
	}
	return c.tellPacket(report, head)
}

func (c *call) tellPacket(report packet.CheckReport, head string) error {
	v := verified{Matches: report.OK(), HeadSeq: report.Manifest.Head.Seq, HeadHash: report.Manifest.Head.Hash, Faults: []faultFound{}}
	for _, p := range report.Problems {
		v.Faults = append(v.Faults, faultFound{What: p.Say(text.English)})
	}
	if asked := strings.ToLower(strings.ReplaceAll(head, " ", "")); asked != "" {
		same := strings.HasPrefix(v.HeadHash, asked)
		v.HeadFound, v.Matches = &same, v.Matches && same
	}
	switch {
	case c.json:
		if err := c.encode(v); err != nil {
			return err
		}
	default:
		fmt.Fprintln(c.stdout, report.Say(text.English))
		for _, p := range report.Problems[min(1, len(report.Problems)):] {
			fmt.Fprintln(c.stdout, "  "+p.Say(text.English))
		}
		if v.HeadFound != nil && *v.HeadFound {
			c.say("cmd.verify.packet_head", "Head", head)
		} else if v.HeadFound != nil {
			c.say("cmd.verify.packet_head_other", "Head", head)
		}
	}
	if !v.Matches {
		return found{}
	}
	return nil
}
