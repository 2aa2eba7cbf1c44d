package web

import (
	"bufio"
	"context"
	"fmt"
	"io/fs"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"

	"bankwright/examples"
)

// started serves the examples on a free loopback port and gives its address
// and code.
func started(t *testing.T, sources ...Source) (*Server, string) {
	t.Helper()
	if sources == nil {
		for _, name := range []string{examples.Default, "market-cart.yaml", "survey-boat.yaml", "ridge-hut.yaml"} {
			sources = append(sources, Source{Name: strings.TrimSuffix(name, ".yaml"), File: name,
				Read: func() ([]byte, error) { return fs.ReadFile(examples.Files, name) }})
		}
	}
	s, err := New(sources)
	if err != nil {
		t.Fatal(err)
	}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- s.Serve(ctx, l) }()
	t.Cleanup(func() {
		stop()
		if err := <-done; err != nil {
			t.Errorf("the server ended with %v", err)
		}
	})
	return s, l.Addr().String()
}

// raw sends bytes as they are and gives the status of the answer, 0 where the
// connection was closed without one.
func raw(t *testing.T, addr, request string) int {
	t.Helper()
	c, err := net.DialTimeout("tcp", addr, 5*time.Second)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	c.SetDeadline(time.Now().Add(5 * time.Second))
	if _, err := c.Write([]byte(request)); err != nil {
		return 0
	}
	r, err := http.ReadResponse(bufio.NewReader(c), nil)
	if err != nil {
		return 0
	}
	r.Body.Close()
	return r.StatusCode
}

// Names that a page elsewhere could make a browser send, and spellings of
// loopback that are not ours. None may be answered, even with the code.
func TestHostileHosts(t *testing.T) {
	s, addr := started(t)
	_, port, _ := net.SplitHostPort(addr)
	hosts := []string{
		"attacker.example", "attacker.example:" + port, "127.0.0.1.attacker.example:" + port, "localhost.attacker.example:" + port,
		"127.0.0.1:1", "127.0.0.1", "localhost", "[::1]", "0.0.0.0:" + port, "[::]:" + port, "127.0.0.2:" + port, "127.1:" + port,
		"2130706433:" + port, "0x7f000001:" + port, "0177.0.0.1:" + port, "127.0.0.1.:" + port, "localhost.:" + port,
		"user@127.0.0.1:" + port, "192.168.1.5:" + port, "10.0.0.1:" + port, "[::ffff:127.0.0.1]:" + port, "[::1%25lo]:" + port,
		"127.0.0.1:" + port + ":" + port, "127.0.0.1:0" + port, "127.0.0.1:" + port + " ", "127.0.0.1 :" + port, "xn--localhost:" + port,
		"l\u043ecalhost:" + port, "LOCALHOST.localdomain:" + port, "ip6-localhost:" + port, "host.docker.internal:" + port,
		"127.000.000.001:" + port, "127.0.0.1%00:" + port, "127.0.0.1/../:" + port, "localhost:" + port + "#", "localhost:" + port + "?x",
		"http://127.0.0.1:" + port, "", "*", "null", strings.Repeat("a", 15<<10) + ".example", "127.0.0.1,localhost:" + port,
	}
	for _, h := range hosts {
		t.Run(fmt.Sprintf("%.60q", h), func(t *testing.T) {
			code := raw(t, addr, "GET /?start="+s.code+" HTTP/1.1\r\nHost: "+h+"\r\nConnection: close\r\n\r\n")
			// A space at the end of a header is no part of it, so that one is our own name.
			if h == "127.0.0.1:"+port+" " {
				if code != http.StatusOK {
					t.Errorf("our own name with a space after it: %d", code)
				}
				return
			}
			if code == http.StatusOK || code >= 500 {
				t.Errorf("answered %d", code)
			}
		})
	}
	for name, request := range map[string]string{
		"no host":       "GET /?start=" + s.code + " HTTP/1.1\r\nConnection: close\r\n\r\n",
		"old protocol":  "GET /?start=" + s.code + " HTTP/1.0\r\n\r\n",
		"two hosts":     "GET /?start=" + s.code + " HTTP/1.1\r\nHost: " + addr + "\r\nHost: attacker.example\r\n\r\n",
		"absolute form": "GET http://attacker.example/?start=" + s.code + " HTTP/1.1\r\nHost: " + addr + "\r\nConnection: close\r\n\r\n",
	} {
		t.Run(name, func(t *testing.T) {
			if code := raw(t, addr, request); code == http.StatusOK || code >= 500 {
				t.Errorf("answered %d", code)
			}
		})
	}
}

func get(t *testing.T, addr, path string, change func(*http.Request)) *http.Response {
	t.Helper()
	r, err := http.NewRequest(http.MethodGet, "http://"+addr+path, nil)
	if err != nil {
		t.Fatal(err)
	}
	if change != nil {
		change(r)
	}
	answer, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { answer.Body.Close() })
	return answer
}

func TestOrigins(t *testing.T) {
	s, addr := started(t)
	_, port, _ := net.SplitHostPort(addr)
	page := "/?start=" + s.code
	for _, origin := range []string{
		"http://attacker.example", "https://attacker.example", "http://attacker.example:" + port, "null", "", "file://", "http://127.0.0.1:1",
		"http://127.0.0.1", "https://127.0.0.1:" + port, "https://localhost:" + port, "chrome-extension://abcdefgh", "moz-extension://abc",
		"http://127.0.0.1.attacker.example:" + port, "http://localhost.:" + port, "http://user@127.0.0.1:" + port, "http://0.0.0.0:" + port,
		"http://127.1:" + port, "http://[::]:" + port, "HTTP://127.0.0.1:" + port, "http://127.0.0.1:" + port + "/", "data:", "blob:http://127.0.0.1:" + port,
		"http://127.0.0.1:" + port + " http://attacker.example",
	} {
		if r := get(t, addr, page, func(r *http.Request) { r.Header["Origin"] = []string{origin} }); r.StatusCode != http.StatusForbidden {
			t.Errorf("origin %q: answered %d", origin, r.StatusCode)
		}
	}
	for _, site := range []string{"cross-site", "same-site"} {
		if r := get(t, addr, page, func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", site) }); r.StatusCode != http.StatusForbidden {
			t.Errorf("%s: answered %d", site, r.StatusCode)
		}
	}
	for _, origin := range []string{"http://127.0.0.1:" + port, "http://localhost:" + port} {
		if r := get(t, addr, page, func(r *http.Request) { r.Header.Set("Origin", origin) }); r.StatusCode != http.StatusOK {
			t.Errorf("our own origin %s: answered %d", origin, r.StatusCode)
		}
	}
}

func TestStartCode(t *testing.T) {
	s, addr := started(t)
	for _, path := range []string{"/", "/?start=", "/?start=" + s.code[1:], "/?start=" + strings.ToUpper(s.code), "/static/app.js", "/?start=" + s.code + "x"} {
		if r := get(t, addr, path, nil); r.StatusCode != http.StatusForbidden {
			t.Errorf("%s without the code: answered %d", path, r.StatusCode)
		}
	}
	first := get(t, addr, "/?start="+s.code, nil)
	if first.StatusCode != http.StatusOK {
		t.Fatalf("with the code: answered %d", first.StatusCode)
	}
	cookies := first.Cookies()
	if len(cookies) != 1 || !cookies[0].HttpOnly || cookies[0].SameSite != http.SameSiteStrictMode {
		t.Fatalf("the cookie must be HttpOnly and strict: %v", cookies)
	}
	if r := get(t, addr, "/", func(r *http.Request) { r.AddCookie(cookies[0]) }); r.StatusCode != http.StatusOK {
		t.Errorf("with the cookie: answered %d", r.StatusCode)
	}
	if again, _ := New(s.sources); again.code == s.code || len(s.code) < 43 {
		t.Errorf("the code must be new each time and hold 256 bits")
	}
}

func TestMethodsAndPaths(t *testing.T) {
	s, addr := started(t)
	for _, method := range []string{"POST", "PUT", "PATCH", "DELETE", "OPTIONS", "TRACE", "CONNECT", "get", "PROPFIND"} {
		code := raw(t, addr, method+" /?start="+s.code+" HTTP/1.1\r\nHost: "+addr+"\r\nContent-Length: 0\r\nConnection: close\r\n\r\n")
		if code == http.StatusOK || code >= 500 && code != http.StatusNotImplemented {
			t.Errorf("%s: answered %d", method, code)
		}
	}
	for _, path := range []string{"/../../etc/passwd", "/static/../../go.mod", "/static/%2e%2e/%2e%2e/go.mod", "/static/..%5c..%5cgo.mod", "/static/app.css%00.js",
		"/static/", "/examples/", "/job.yaml", "/static//app.js/../../server.go", "/debug/pprof/"} {
		code := raw(t, addr, "GET "+path+" HTTP/1.1\r\nHost: "+addr+"\r\nCookie: "+cookieName+"="+s.code+"\r\nConnection: close\r\n\r\n")
		if code == http.StatusOK || code >= 500 {
			t.Errorf("%s: answered %d", path, code)
		}
	}
	for _, query := range []string{"job=../../etc/passwd", "job=none", "case=none", "case=%00", "job=%3Cscript%3E"} {
		if r := get(t, addr, "/?start="+s.code+"&"+query, nil); r.StatusCode != http.StatusNotFound {
			t.Errorf("%s: answered %d", query, r.StatusCode)
		}
	}
	for _, pick := range []string{"front-0", "front-99", "textbook-99", "front--1", "x", "front-", "", "own", "front-999999999999999999999"} {
		if r := get(t, addr, "/?start="+s.code+"&pick="+pick, nil); r.StatusCode != http.StatusOK {
			t.Errorf("pick %q: answered %d", pick, r.StatusCode)
		}
	}
}

func TestHeaders(t *testing.T) {
	s, addr := started(t)
	for _, path := range []string{"/?start=" + s.code, "/none?start=" + s.code, "/"} {
		h := get(t, addr, path, nil).Header
		csp := h.Get("Content-Security-Policy")
		if !strings.Contains(csp, "default-src 'none'") || strings.Contains(csp, "unsafe") || !strings.Contains(csp, "frame-ancestors 'none'") {
			t.Errorf("%s: content policy %q", path, csp)
		}
		for name, want := range map[string]string{"X-Content-Type-Options": "nosniff", "X-Frame-Options": "DENY", "Referrer-Policy": "no-referrer", "Cache-Control": "no-store"} {
			if h.Get(name) != want {
				t.Errorf("%s: %s is %q", path, name, h.Get(name))
			}
		}
	}
}
