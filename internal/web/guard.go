package web

import (
	"crypto/rand"
	"crypto/subtle"
	"encoding/base64"
	"net"
	"net/http"
	"strings"
)

// cookieName holds the start code in the browser once the address was opened.
const cookieName = "bankwright_start"

// newCode makes a start code of 256 bits.
func newCode() string {
	b := make([]byte, 32)
	if _, err := rand.Read(b); err != nil {
		panic("web: no randomness: " + err.Error()) // crypto/rand says this cannot happen
	}
	return base64.RawURLEncoding.EncodeToString(b)
}

// hosts lists the only Host values that are answered: the loopback names with
// our port. A page elsewhere that rebinds its name to loopback comes with its
// own name and is refused.
func hosts(addr net.Addr) map[string]bool {
	_, port, err := net.SplitHostPort(addr.String())
	if err != nil {
		return nil
	}
	allowed := map[string]bool{}
	for _, name := range []string{"127.0.0.1", "localhost", "::1"} {
		allowed[net.JoinHostPort(name, port)] = true
	}
	return allowed
}

// guard lets through what our own pages ask on this machine, and nothing else:
// Host must be ours, Origin if there is one too, and the start code must have
// been shown. Nothing here changes anything, so only GET and HEAD pass.
func (s *Server) guard(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		setHeaders(w.Header())
		switch {
		case !s.hosts[strings.ToLower(r.Host)]:
			refuse(w, http.StatusForbidden, "this address is not answered; open the one that bankwright printed")
		case r.Method != http.MethodGet && r.Method != http.MethodHead:
			w.Header().Set("Allow", "GET, HEAD")
			refuse(w, http.StatusMethodNotAllowed, "nothing can be changed here yet; only reading is answered")
		case !s.ownOrigin(r):
			refuse(w, http.StatusForbidden, "a page from elsewhere asked; only our own pages are answered")
		case !s.started(w, r):
			refuse(w, http.StatusForbidden, "open the whole address that bankwright printed; it ends in a start code")
		default:
			r.Body = http.MaxBytesReader(w, r.Body, 1<<10)
			next.ServeHTTP(w, r)
		}
	})
}

func refuse(w http.ResponseWriter, code int, words string) { http.Error(w, words, code) }

// ownOrigin reports whether the request comes from our page or from the
// person's own typing: no Origin, or ours; and no cross-site fetch.
func (s *Server) ownOrigin(r *http.Request) bool {
	if site := r.Header.Get("Sec-Fetch-Site"); site == "cross-site" || site == "same-site" {
		return false
	}
	for _, origin := range r.Header.Values("Origin") {
		if host, ok := strings.CutPrefix(origin, "http://"); !ok || !s.hosts[host] {
			return false
		}
	}
	return true
}

// started reports whether the start code was shown, in the address or by the
// cookie that the address leaves.
func (s *Server) started(w http.ResponseWriter, r *http.Request) bool {
	if s.isCode(r.URL.Query().Get("start")) {
		http.SetCookie(w, &http.Cookie{Name: cookieName, Value: s.code, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode})
		return true
	}
	c, err := r.Cookie(cookieName)
	return err == nil && s.isCode(c.Value)
}

func (s *Server) isCode(v string) bool {
	return subtle.ConstantTimeCompare([]byte(v), []byte(s.code)) == 1
}

// setHeaders forbids everything a page of ours does not need: no script or
// style but our own files, no framing, no sniffing, no referrer that would
// carry the start code away.
func setHeaders(h http.Header) {
	h.Set("Content-Security-Policy", "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; img-src 'self' data:; connect-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'")
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("X-Frame-Options", "DENY")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Cache-Control", "no-store")
}
