package records

import (
	"context"
	"encoding/base64"
	"errors"
	"fmt"
	"time"
)

// Sessions keeps who is signed in on which device. Its rows are mutable: they are no facts. The web app's session
// manager hands in tokens already hashed, so that the table opens no door.
type Sessions struct{ s *Store }

// Sessions gives the session table of the house.
func (s *Store) Sessions() Sessions { return Sessions{s} }

// FindCtx gives the data of a session that has not ended; false when there is none.
func (t Sessions) FindCtx(ctx context.Context, token string) ([]byte, bool, error) {
	var rows []string
	err := t.s.conn(ctx).Raw("SELECT data FROM session WHERE token = ? AND expires_at > ?", token, t.s.Now()).Scan(&rows).Error
	if err != nil {
		return nil, false, fmt.Errorf("find session: %w", err)
	}
	if len(rows) == 0 {
		return nil, false, nil
	}
	data, err := base64.StdEncoding.DecodeString(rows[0])
	return data, err == nil, nil // a malformed session is none
}

// ErrSessionNotKept is wrapped when a session could not be written, as on a full disk. What is signed in stays so.
var ErrSessionNotKept = errors.New("session not kept")

// CommitCtx keeps the data of a session until expiry.
func (t Sessions) CommitCtx(ctx context.Context, token string, data []byte, expiry time.Time) error {
	err := t.s.write.WithContext(ctx).Exec(`INSERT INTO session (token, data, expires_at) VALUES (?, ?, ?)
		ON CONFLICT (token) DO UPDATE SET data = excluded.data, expires_at = excluded.expires_at`,
		token, base64.StdEncoding.EncodeToString(data), expiry.UTC()).Error
	if err != nil {
		return fmt.Errorf("%w: %w", ErrSessionNotKept, err)
	}
	return nil
}

// DeleteCtx ends a session; ending one that does not exist is nothing.
func (t Sessions) DeleteCtx(ctx context.Context, token string) error {
	if err := t.s.write.WithContext(ctx).Exec("DELETE FROM session WHERE token = ?", token).Error; err != nil {
		return fmt.Errorf("end session: %w", err)
	}
	return nil
}

// DeleteExpired clears away sessions that have ended; serve calls it from time to time.
func (t Sessions) DeleteExpired(ctx context.Context) error {
	if err := t.s.write.WithContext(ctx).Exec("DELETE FROM session WHERE expires_at <= ?", t.s.Now()).Error; err != nil {
		return fmt.Errorf("clear sessions: %w", err)
	}
	return nil
}

// Find is FindCtx without a context, for the session manager's interface.
func (t Sessions) Find(token string) ([]byte, bool, error) {
	return t.FindCtx(context.Background(), token)
}

// Commit is CommitCtx without a context.
func (t Sessions) Commit(token string, data []byte, expiry time.Time) error {
	return t.CommitCtx(context.Background(), token, data, expiry)
}

// Delete is DeleteCtx without a context.
func (t Sessions) Delete(token string) error { return t.DeleteCtx(context.Background(), token) }
