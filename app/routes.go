package app

import "github.com/gin-gonic/gin"

// access is the least a person must be to use a route.
type access int

// Who may use a route. Each includes those after it.
const (
	anyone access = iota // also without signing in
	reader               // whoever is signed in, an inspector too
	crew                 // the daily work
	owner                // the house rules and the people
)

// route is one line of the route table.
type route struct {
	method, path string
	who          access
	do           func(*gin.Context) error
}

// routes is the route table: method, path, who may, handler. A GET changes nothing.
func (a *App) routes() []route {
	table := []route{
		{"GET", "/health", anyone, a.showHealth},
		{"GET", "/login", anyone, a.showSignIn},
		{"POST", "/login", anyone, a.signIn},
		{"POST", "/sign-out", anyone, a.signOut},
		{"POST", "/setting", anyone, a.changeSetting},

		{"GET", "/", reader, a.showToday},
		{"GET", "/find", reader, a.find},

		{"GET", "/field", reader, a.showArea("field")},
		{"GET", "/house", reader, a.showArea("house")},

		{"GET", "/record/:id", reader, a.showRecord},
		{"GET", "/record/:id/history", reader, a.showHistory},
		{"GET", "/record/:id/amend", crew, a.showAmend},
		{"POST", "/record/:id/amend", crew, a.amendRecord},
		{"POST", "/record/:id/strike", crew, a.strikeRecord},

		{"GET", "/person/:id/secret", reader, a.showSecret},
		{"POST", "/person/:id/secret", reader, a.changeSecret},
	}
	table = append(table, a.millRoutes()...)
	table = append(table, a.kettleRoutes()...)
	table = append(table, a.fillerRoutes()...)
	table = append(table, a.lotRoutes()...)
	table = append(table, a.labelRoutes()...)
	table = append(table, a.labelCheckRoutes()...)
	table = append(table, a.publicRoutes()...)
	table = append(table, a.inspectorRoutes()...)
	table = append(table, a.journalRoutes()...)
	table = append(table, a.shelfRoutes()...)
	table = append(table, a.traceRoutes()...)
	table = append(table, a.complaintRoutes()...)
	table = append(table, a.todayRoutes()...)
	table = append(table, a.reckonerRoutes()...)
	table = append(table, a.houseRoutes()...)
	table = append(table, a.netRoutes()...)
	for _, k := range a.kinds.inOrder {
		if k.Area == "" { // its screen is its own; only amending is shared
			continue
		}
		if !k.OwnList {
			table = append(table, route{"GET", k.path(), k.See, a.listKind(k)})
		}
		table = append(table,
			route{"GET", k.path() + "/new", k.Write, a.showNew(k)},
			route{"POST", k.path(), k.Write, a.createKind(k)},
		)
	}
	return table
}
