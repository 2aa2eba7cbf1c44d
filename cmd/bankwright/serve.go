package main

import (
	"context"
	"fmt"
	"io/fs"
	"net"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"runtime"
	"sort"
	"strconv"
	"strings"
	"syscall"

	"bankwright/examples"
	"bankwright/internal/web"

	"github.com/spf13/cobra"
)

func (a *app) serveCommand() *cobra.Command {
	var port int
	var noOpen bool
	c := &cobra.Command{
		Use:   "serve [JOB]",
		Short: "open the workbench in the browser",
		Long: `Serves the workbench on this machine only (loopback) and prints one line with
the address to open; it ends in a start code, so that no other page can ask.
It serves until ended with ctrl C. Without a job the examples are shown. The
job file is only read; edit it in any editor and load the page again.`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 1 {
				return fmt.Errorf("one job file at a time; %q is one word too many", args[1])
			}
			if port < 0 || port > 65535 {
				return fmt.Errorf("--port %d: a port is 0 to 65535, 0 for any free one", port)
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			job := ""
			if len(args) == 1 {
				job = args[0]
			}
			return a.serve(c.Context(), job, port, !noOpen)
		},
	}
	c.Flags().IntVar(&port, "port", 0, "port to listen on (default any free one)")
	c.Flags().BoolVar(&noOpen, "no-open", false, "do not open the browser")
	return c
}

// serve runs the workbench until the context ends or the person stops it.
func (a *app) serve(ctx context.Context, job string, port int, open bool) error {
	sources, err := a.sources(job)
	if err != nil {
		return work(err)
	}
	s, err := web.New(sources)
	if err != nil {
		return work(err)
	}
	l, err := net.Listen("tcp", net.JoinHostPort("127.0.0.1", strconv.Itoa(port)))
	if err != nil {
		return work(fmt.Errorf("cannot listen on port %d: %w; choose another with --port", port, err))
	}
	if ctx == nil {
		ctx = context.Background()
	}
	ctx, stop := signal.NotifyContext(ctx, os.Interrupt, syscall.SIGTERM)
	defer stop()
	address := s.Address(l)
	fmt.Fprintln(a.out, address)
	if open {
		openBrowser(address)
	}
	return work(s.Serve(ctx, l))
}

// sources gives the job named, else the examples with the default one first.
func (a *app) sources(job string) ([]web.Source, error) {
	if job != "" {
		if _, err := a.bytes(job); err != nil {
			return nil, err
		}
		name := strings.TrimSuffix(filepath.Base(job), filepath.Ext(job))
		return []web.Source{{Name: name, File: filepath.Base(job), Read: func() ([]byte, error) { return a.bytes(job) }}}, nil
	}
	names, err := fs.Glob(examples.Files, "*.yaml")
	if err != nil {
		return nil, err
	}
	sort.SliceStable(names, func(i, j int) bool { return names[i] == examples.Default && names[j] != examples.Default })
	var all []web.Source
	for _, name := range names {
		all = append(all, web.Source{Name: strings.TrimSuffix(name, ".yaml"), File: name,
			Read: func() ([]byte, error) { return fs.ReadFile(examples.Files, name) }})
	}
	return all, nil
}

// openBrowser asks the system for a browser, where there is a screen. That it
// may fail is no error: the address was printed.
func openBrowser(address string) {
	var c *exec.Cmd
	switch {
	case runtime.GOOS == "darwin":
		c = exec.Command("open", address)
	case runtime.GOOS == "windows":
		c = exec.Command("rundll32", "url.dll,FileProtocolHandler", address)
	case os.Getenv("DISPLAY") != "" || os.Getenv("WAYLAND_DISPLAY") != "":
		c = exec.Command("xdg-open", address)
	default:
		return
	}
	if c.Start() == nil {
		go c.Wait() // so that it leaves no zombie behind
	}
}
