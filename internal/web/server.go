// Package web serves the workbench on loopback: pages with the drawings as the
// server made them. The browser does no sums.
package web

import (
	"bytes"
	"context"
	"crypto/sha256"
	"embed"
	"errors"
	"fmt"
	"html/template"
	"io/fs"
	"net"
	"net/http"
	"sync"
	"time"

	"bankwright/internal/check/assess"
	"bankwright/internal/model/report"
	"bankwright/internal/paper/svg"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
)

//go:embed templates static
var files embed.FS

// Source is a job that can be opened: its name in addresses, what it is, and
// how to read it anew.
type Source struct {
	Name string
	File string // for messages
	Read func() ([]byte, error)
}

// Server answers for the jobs it was given.
type Server struct {
	sources   []Source
	code      string
	hosts     map[string]bool
	templates *template.Template
	mutex     sync.Mutex // one search at a time: it uses every processor
	kept      map[key]*answer
	runs      map[runKey]*ran
	checks    map[key]*checked
}

// key is what an answer is of.
type key struct {
	job  [sha256.Size]byte
	name string // messages carry it
	kase string
}

// answer is everything computed for one job and case.
type answer struct {
	job     *assess.Job
	report  *report.Report // nil where the job's cables make no circuit
	why     error          // then this is why
	wirings *report.Wirings
	whyNot  error         // why there are none
	took    time.Duration // of the search
}

// maxKept bounds the memory of answers; when full it starts anew.
const maxKept = 64

// searchTime is the longest a search may take for a page.
const searchTime = 20 * time.Second

// New makes a server for the jobs, the first of which is the front page.
func New(sources []Source) (*Server, error) {
	if len(sources) == 0 {
		return nil, errors.New("web: there is no job to serve")
	}
	t, err := template.ParseFS(files, "templates/*.html")
	if err != nil {
		return nil, err
	}
	return &Server{sources: sources, code: newCode(), templates: t, kept: map[key]*answer{}, runs: map[runKey]*ran{}, checks: map[key]*checked{}}, nil
}

// Address gives what a person opens, start code included.
func (s *Server) Address(l net.Listener) string {
	return "http://" + l.Addr().String() + "/?start=" + s.code
}

// Serve answers on a loopback listener until the context ends.
func (s *Server) Serve(ctx context.Context, l net.Listener) error {
	s.hosts = hosts(l.Addr())
	server := &http.Server{Handler: s.handler(), ReadHeaderTimeout: 5 * time.Second, ReadTimeout: 10 * time.Second,
		IdleTimeout: time.Minute, MaxHeaderBytes: 16 << 10}
	done := make(chan error, 1)
	go func() { done <- server.Serve(l) }()
	select {
	case err := <-done:
		return err
	case <-ctx.Done():
		end, cancel := context.WithTimeout(context.Background(), time.Second)
		defer cancel()
		err := server.Shutdown(end)
		if errors.Is(err, context.DeadlineExceeded) {
			return server.Close()
		}
		return err
	}
}

// handler is every address there is.
func (s *Server) handler() http.Handler {
	mux := http.NewServeMux()
	mux.Handle("GET /{$}", s.page("wirings.html", s.serveWirings))
	mux.Handle("GET /hours", s.page("hours.html", s.serveHours))
	mux.Handle("GET /conductors", s.page("conductors.html", s.serveChecked("/conductors", (*checkedPage).conductors)))
	mux.Handle("GET /faults", s.page("faults_sheet.html", s.serveFaults))
	mux.Handle("GET /settings", s.page("settings.html", s.serveChecked("/settings", (*checkedPage).settings)))
	mux.Handle("GET /days", s.page("days.html", s.serveDays))
	mux.Handle("GET /heat", s.page("heat_sheet.html", s.serveHeat))
	mux.Handle("GET /mount", s.page("mount_sheet.html", s.serveMount))
	mux.Handle("GET /findings", s.page("findings.html", s.serveChecked("/findings", (*checkedPage).findings)))
	mux.Handle("GET /static/app.css", s.file("static/app.css", "text/css; charset=utf-8"))
	mux.Handle("GET /static/app.js", s.file("static/app.js", "text/javascript; charset=utf-8"))
	mux.Handle("GET /static/drawing.css", bytesHandler("text/css; charset=utf-8", []byte(svg.CSS())))
	mux.Handle("GET /static/regular.ttf", bytesHandler("font/ttf", goregular.TTF))
	mux.Handle("GET /static/bold.ttf", bytesHandler("font/ttf", gobold.TTF))
	return s.guard(mux)
}

func (s *Server) file(name, kind string) http.Handler {
	b, err := fs.ReadFile(files, name)
	if err != nil {
		panic("web: " + err.Error()) // embedded at build time
	}
	return bytesHandler(kind, b)
}

func bytesHandler(kind string, b []byte) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", kind)
		w.Write(b)
	})
}

// page turns a handler that gives a page or an error into an answer: rendered
// whole before the first byte goes out.
func (s *Server) page(template string, h func(*http.Request) (any, int, error)) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		p, code, err := h(r)
		if err != nil {
			refuse(w, code, err.Error())
			return
		}
		var b bytes.Buffer
		if err := s.templates.ExecuteTemplate(&b, template, p); err != nil {
			refuse(w, http.StatusInternalServerError, "the page could not be made: "+err.Error())
			return
		}
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		w.WriteHeader(code)
		w.Write(b.Bytes())
	})
}

// answer computes, or remembers, a job's case. A changed file is another job.
func (s *Server) answer(ctx context.Context, src Source, caseID string) (*answer, error) {
	b, err := src.Read()
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be read: %w", src.File, err)
	}
	k := key{sha256.Sum256(b), src.Name, caseID}
	s.mutex.Lock()
	defer s.mutex.Unlock()
	if a := s.kept[k]; a != nil {
		return a, nil
	}
	a := &answer{}
	if a.job, err = assess.Load(src.File, b); err != nil {
		return nil, err
	}
	if _, err := a.job.Case(caseID); err != nil {
		return nil, err
	}
	a.report, a.why = a.job.Currents(caseID)
	ctx, cancel := context.WithTimeout(ctx, searchTime)
	defer cancel()
	start := time.Now()
	a.wirings, a.whyNot = a.job.Wirings(ctx, caseID, nil)
	a.took = time.Since(start)
	if ctx.Err() != nil {
		return a, nil // half an answer is not kept
	}
	if len(s.kept) >= maxKept {
		clear(s.kept)
	}
	s.kept[k] = a
	return a, nil
}
