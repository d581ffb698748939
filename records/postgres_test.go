package records

import (
	"fmt"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gorm.io/driver/postgres"
)

// postgresSchema makes an empty schema of its own for a test and drops it afterwards.
func postgresSchema(t *testing.T, address string) string {
	t.Helper()
	admin, err := open(postgres.Open(address), 1)
	require.NoError(t, err)
	name := "t_" + strings.ToLower(strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' {
			return r
		}
		return '_'
	}, t.Name()))
	if len(name) > 60 {
		name = name[:60]
	}
	require.NoError(t, admin.Exec(fmt.Sprintf("DROP SCHEMA IF EXISTS %s CASCADE", name)).Error)
	require.NoError(t, admin.Exec("CREATE SCHEMA "+name).Error)
	t.Cleanup(func() {
		require.NoError(t, admin.Exec(fmt.Sprintf("DROP SCHEMA IF EXISTS %s CASCADE", name)).Error)
		pool, err := admin.DB()
		require.NoError(t, err)
		require.NoError(t, pool.Close())
	})
	u, err := url.Parse(address)
	require.NoError(t, err)
	q := u.Query()
	q.Set("search_path", name)
	u.RawQuery = q.Encode()
	return u.String()
}
