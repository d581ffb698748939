package app

import (
	"context"
	"strings"
	"time"

	"canewright/records"
)

// phoneWords says how records reached the house, by record id, for those where that needs saying: "waited 4 min for the
// network", "phone's clock was 61 min behind", "sent in Dale's session".
func (a *App) phoneWords(ctx context.Context, w words, ids []string) (map[string]string, error) {
	entries, err := records.PhoneEntriesOf(ctx, a.store, ids)
	if err != nil {
		return nil, err
	}
	said := map[string]string{}
	for id, e := range entries {
		said[id] = strings.Join(a.phoneStory(ctx, w, e), ", ")
	}
	return said, nil
}

// phoneStory is the words of one entry.
func (a *App) phoneStory(ctx context.Context, w words, e records.PhoneEntry) []string {
	var story []string
	if waited := time.Duration(e.WaitedSeconds) * time.Second; waited >= waitedLong {
		story = append(story, w.say("phone.waited", "Time", w.hours(waited)))
	}
	switch off := time.Duration(e.OffSeconds) * time.Second; {
	case off >= clockApart:
		story = append(story, w.say("phone.ahead", "Time", w.hours(off)))
	case off <= -clockApart:
		story = append(story, w.say("phone.behind", "Time", w.hours(-off)))
	}
	if e.SignedInID != e.WrittenBy {
		story = append(story, w.say("phone.session", "Who", records.Name(ctx, a.store, e.WrittenBy)))
	}
	return story
}
