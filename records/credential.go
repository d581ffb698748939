package records

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"strings"
	"time"
	"unicode/utf8"

	"golang.org/x/crypto/bcrypt"
	"gorm.io/gorm"
)

// Bounds of secrets. bcrypt takes at most 72 bytes.
const (
	minPassword = 10
	maxPassword = 72
	minPIN      = 4
	maxPIN      = 8
	hashCost    = 11
)

// Sign-in attempts: after so many wrong ones within the window a login rests until they are older.
const (
	wrongAttempts = 8
	attemptWindow = 15 * time.Minute
)

// ErrSecret says that login and secret do not match, without saying which.
var ErrSecret = errors.New("login and secret do not match")

// ErrAttempts says that a login rests after too many wrong attempts.
var ErrAttempts = errors.New("too many wrong attempts for this login")

// credential is a person's secrets, as hashes only.
type credential struct {
	PersonID     string
	PasswordHash string
	PinHash      string
	ChangedAt    time.Time
}

// SetPassword gives a person a new password, which ends that person's sessions. Errors: Invalid.
func (s *Store) SetPassword(ctx context.Context, personID, password string) error {
	if n := utf8.RuneCountInString(password); n < minPassword || len(password) > maxPassword {
		return Invalid{{"password", "sign.password_length", []any{"Min", minPassword, "Max", maxPassword}}}
	}
	hash, err := bcrypt.GenerateFromPassword([]byte(password), hashCost)
	if err != nil {
		return fmt.Errorf("hash password: %w", err)
	}
	err = s.write.WithContext(ctx).Exec(`INSERT INTO credential (person_id, password_hash, pin_hash, changed_at) VALUES (?, ?, '', ?)
		ON CONFLICT (person_id) DO UPDATE SET password_hash = excluded.password_hash, changed_at = excluded.changed_at`,
		personID, string(hash), s.Now()).Error
	if err != nil {
		return fmt.Errorf("set password of %s: %w", personID, err)
	}
	return nil
}

// SetPIN gives a person a PIN for signing on a shared phone; a password must be set before. Errors: Invalid.
func (s *Store) SetPIN(ctx context.Context, personID, pin string) error {
	if len(pin) < minPIN || len(pin) > maxPIN || strings.Trim(pin, "0123456789") != "" {
		return Invalid{{"pin", "sign.pin_length", []any{"Min", minPIN, "Max", maxPIN}}}
	}
	hash, err := bcrypt.GenerateFromPassword([]byte(pin), hashCost)
	if err != nil {
		return fmt.Errorf("hash PIN: %w", err)
	}
	done := s.write.WithContext(ctx).Exec("UPDATE credential SET pin_hash = ? WHERE person_id = ?", string(hash), personID)
	if done.Error != nil {
		return fmt.Errorf("set PIN of %s: %w", personID, done.Error)
	}
	if done.RowsAffected == 0 {
		return Invalid{{"pin", "sign.password_first", nil}}
	}
	return nil
}

// SignIn gives the person of a login and password. Errors: ErrSecret, ErrAttempts.
func (s *Store) SignIn(ctx context.Context, login, password string) (Person, error) {
	login = strings.ToLower(strings.TrimSpace(login))
	try, err := s.attempt(ctx, login)
	if err != nil {
		return Person{}, err
	}
	people, err := List[Person](ctx, s, "LOWER(login) = ?", login)
	if err != nil {
		return Person{}, err
	}
	var person Person
	hash := ""
	if len(people) == 1 {
		person = people[0]
		kept, err := s.credentialOf(ctx, person.ID)
		if err != nil {
			return Person{}, err
		}
		hash = kept.PasswordHash
	}
	return person, s.attempted(ctx, try, matches(hash, password))
}

// ConfirmSecret checks that a person's own PIN or password was typed, as releasing and closing ask. Errors: ErrSecret,
// ErrAttempts, ErrNotFound.
func (s *Store) ConfirmSecret(ctx context.Context, personID, secret string) error {
	return s.confirm(ctx, personID, func(kept credential) bool {
		return kept.PinHash != "" && matches(kept.PinHash, secret) || matches(kept.PasswordHash, secret)
	})
}

// ConfirmPassword checks that a person's own password was typed: a PIN, which a crew may have seen tapped, changes no
// secrets. Errors: ErrSecret, ErrAttempts, ErrNotFound.
func (s *Store) ConfirmPassword(ctx context.Context, personID, password string) error {
	return s.confirm(ctx, personID, func(kept credential) bool { return matches(kept.PasswordHash, password) })
}

func (s *Store) confirm(ctx context.Context, personID string, right func(credential) bool) error {
	person, err := Get[Person](ctx, s, personID)
	if err != nil {
		return err
	}
	try, err := s.attempt(ctx, strings.ToLower(person.Login))
	if err != nil {
		return err
	}
	kept, err := s.credentialOf(ctx, personID)
	if err != nil {
		return err
	}
	return s.attempted(ctx, try, right(kept) && !person.Struck)
}

// CredentialMark changes whenever a person's password is set anew, and tells nothing about it; "" when none was ever
// set. A session keeps it, so that a new password ends the sessions from before.
func (s *Store) CredentialMark(ctx context.Context, personID string) (string, error) {
	kept, err := s.credentialOf(ctx, personID)
	if err != nil || kept.PersonID == "" {
		return "", err
	}
	sum := sha256.Sum256([]byte(kept.PasswordHash))
	return hex.EncodeToString(sum[:8]), nil
}

// credentialOf reads a person's hashes; empty when none are set.
func (s *Store) credentialOf(ctx context.Context, personID string) (credential, error) {
	var rows []credential
	err := s.conn(ctx).Raw("SELECT person_id, password_hash, pin_hash, changed_at FROM credential WHERE person_id = ?", personID).
		Scan(&rows).Error
	if err != nil {
		return credential{}, fmt.Errorf("credential of %s: %w", personID, err)
	}
	if len(rows) == 0 {
		return credential{}, nil
	}
	return rows[0], nil
}

// nobody is a hash that nothing matches. It is compared with when a login has none, so that the time taken does not
// tell which logins exist.
const nobody = "$2a$11$7EqJtq98hPqEX7fNZaFWoOhi5B0a1TqQG1qEJH4N8x2bqfUuKkSle"

func matches(hash, secret string) bool {
	known := hash != ""
	if !known {
		hash = nobody
	}
	return bcrypt.CompareHashAndPassword([]byte(hash), []byte(secret)) == nil && known
}

// attemptLock names the advisory lock under which a PostgreSQL house counts attempts.
const attemptLock = 0x54727921 // "Try!"

// attempt notes one more attempt for a login, as wrong until attempted says otherwise, and refuses it when the login failed
// too often of late. It is counted before the secret is looked at: many sent at once are no more than many one by one.
// Attempts past the window are cleared away.
func (s *Store) attempt(ctx context.Context, login string) (id string, err error) {
	if id, err = s.newID(); err != nil {
		return "", err
	}
	now := s.Now()
	err = s.write.WithContext(ctx).Transaction(func(db *gorm.DB) error {
		if !s.sqlite() {
			if err := db.Exec("SELECT pg_advisory_xact_lock(?)", attemptLock).Error; err != nil {
				return err
			}
		}
		if err := db.Exec("DELETE FROM sign_in_attempt WHERE at <= ?", now.Add(-attemptWindow)).Error; err != nil {
			return err
		}
		var wrong int64
		err := db.Raw("SELECT COUNT(*) FROM sign_in_attempt WHERE login = ? AND passed = ?", login, false).Scan(&wrong).Error
		if err != nil {
			return err
		}
		if wrong >= wrongAttempts {
			return ErrAttempts
		}
		return db.Exec("INSERT INTO sign_in_attempt (id, login, at, passed) VALUES (?, ?, ?, ?)", id, login, now, false).Error
	})
	if err != nil && !errors.Is(err, ErrAttempts) {
		err = fmt.Errorf("note attempt: %w", err)
	}
	return id, err
}

// attempted turns a wrong attempt into ErrSecret, and takes a right one out of the count of wrong ones.
func (s *Store) attempted(ctx context.Context, id string, passed bool) error {
	if !passed {
		return ErrSecret
	}
	if err := s.write.WithContext(ctx).Exec("UPDATE sign_in_attempt SET passed = ? WHERE id = ?", true, id).Error; err != nil {
		return fmt.Errorf("note attempt: %w", err)
	}
	return nil
}
