package web

import (
	"io"
	"net/http"
	"net/http/cookiejar"
	"testing"
)

// visitor is someone who came in with the start code: it gets pages, with their
// status.
func visitor(t *testing.T, s *Server, addr string) func(path string) (int, string) {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	client := http.Client{Jar: jar}
	get := func(path string) (int, string) {
		r, err := client.Get("http://" + addr + path)
		if err != nil {
			t.Fatal(err)
		}
		defer r.Body.Close()
		b, err := io.ReadAll(r.Body)
		if err != nil {
			t.Fatal(err)
		}
		return r.StatusCode, string(b)
	}
	get("/?start=" + s.code)
	return get
}
