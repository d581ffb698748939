package app

import "net/http"

// sameOrigin refuses a changing request that another site's page sent, by the browser's own headers. With SameSite
// cookies and GETs that change nothing this stands in for tokens in forms.
func sameOrigin(r *http.Request) error {
	if http.NewCrossOriginProtection().Check(r) != nil {
		return errCrossOrigin
	}
	return nil
}
