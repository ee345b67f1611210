package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"runtime"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"rxsplit/cmd/internal/app"
	"rxsplit/cmd/internal/serve"
)

// newServe shows a folder in the browser of this machine.
func newServe(u *ui) *cobra.Command {
	port, noBrowser, idle := 0, false, time.Duration(0)
	cmd := &cobra.Command{
		Use:   "serve [FOLDER]",
		Short: "Do the whole job in the browser of this machine",
		Long: `serve opens the browser on a page of this machine that shows FOLDER (default the
one you are in): its prescriptions with their verdicts, label profiles, jobs and
plans. Whatever the page does is a file in that folder, the same that a command
writes, and it shows that command. Nothing leaves the machine.

The address holds a key: nobody else gets in. The program ends by a button of
the page, with Ctrl-C or, with --idle, when nobody has asked for so long.`,
		Args: takes(0, 1, "one folder at most"),
		RunE: func(cmd *cobra.Command, args []string) error {
			folder := "."
			if len(args) == 1 {
				folder = args[0]
			}
			return runServe(cmd.Context(), u, folder, port, !noBrowser, serve.Options{Idle: idle, Now: now})
		},
	}
	f := cmd.Flags()
	f.IntVar(&port, "port", 0, "port of 127.0.0.1 to listen on (default a free one)")
	f.BoolVar(&noBrowser, "no-browser", false, "print the address, and open no browser")
	f.DurationVar(&idle, "idle", 0, "end when nobody has asked for so long, such as 30m (default never)")
	return cmd
}

func runServe(ctx context.Context, u *ui, folder string, port int, browser bool, o serve.Options) error {
	if port < 0 || port > 65535 {
		return &app.Error{What: fmt.Sprintf("--port: %d is no port", port), Hint: "leave it out, or give one from 1 to 65535"}
	}
	if o.Idle < 0 {
		return &app.Error{What: fmt.Sprintf("--idle: %v is no time to wait", o.Idle), Hint: "leave it out, or give one such as --idle 30m"}
	}
	// A page and a command that is typed in the folder count names from the same place.
	if err := os.Chdir(folder); err != nil {
		return &app.Error{What: folder + ": " + app.SystemSays(err), Hint: "name a folder that is there"}
	}
	s, err := serve.New(port, o)
	var shown *serve.Shown
	switch {
	case errors.As(err, &shown):
		return &app.Error{What: err.Error(), Hint: "open that address, or end that one first; if nothing answers there, remove " + serve.ClaimName + " from the folder", Err: err}
	case err != nil && port != 0:
		return &app.Error{What: fmt.Sprintf("--port: %d can't be listened on: %s", port, app.SystemSays(err)), Hint: "leave it out, and a free one is taken"}
	case err != nil:
		return err
	}
	ctx, stop := signal.NotifyContext(ctx, os.Interrupt, syscall.SIGTERM)
	defer stop()
	if _, err := fmt.Fprintln(u.out, s.Address()); err != nil {
		return err
	}
	u.note("the page of this folder is at the address above; Ctrl-C ends it")
	if browser {
		if err := open(s.Address()); err != nil {
			u.note("no browser could be opened: copy the address into one")
		}
	}
	return s.Serve(ctx)
}

// open has the system show an address in its browser.
func open(address string) error {
	name, args := "xdg-open", []string{address}
	switch runtime.GOOS {
	case "windows":
		name, args = "rundll32", []string{"url.dll,FileProtocolHandler", address}
	case "darwin":
		name = "open"
	}
	cmd := exec.Command(name, args...)
	if err := cmd.Start(); err != nil {
		return err
	}
	go cmd.Wait()
	return nil
}

// double does what a double click on the program asks for, where nobody has typed anything:
// it shows the folder that the program lies in. Where another run shows it already, that
// one comes up. What went wrong stays on the screen until somebody has read it.
func double(u *ui) error {
	program, err := os.Executable()
	if err == nil {
		err = runServe(context.Background(), u, filepath.Dir(program), 0, true, serve.Options{Now: now})
	}
	var shown *serve.Shown
	if errors.As(err, &shown) && open(shown.Address) == nil {
		return nil
	}
	if err != nil {
		u.fail(err)
		u.note("press Enter to close this window")
		bufio.NewReader(u.in).ReadString('\n')
	}
	return err
}
