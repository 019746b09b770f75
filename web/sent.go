package web

import (
	"crypto/sha256"
	"encoding/hex"
	"net/http"
)

// sentKey is by what a form is known when it is sent again: the key it was given
// together with what was typed, for one that was gone back to and changed asks for
// something else. It is empty for a form without a key.
func sentKey(r *http.Request) string {
	if r.PostForm.Get("key") == "" {
		return ""
	}
	sum := sha256.Sum256([]byte(r.URL.Path + "?" + r.PostForm.Encode()))
	return hex.EncodeToString(sum[:])
}

// begunBefore is said when a form that begins a day comes a second time.
const begunBefore = "This day was begun before."
