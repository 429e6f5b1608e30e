package cli

import (
	"fmt"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"chainpath": func() {
			stopGrace = time.Hour
			os.Exit(Main(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
		},
	})
}

// Whole-program scripts: exit codes, messages, files written and not written.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir: "../../../testdata/script",
		Setup: func(e *testscript.Env) error { // scripts may compile, with what is compiled already
			out, err := exec.Command("go", "env", "GOCACHE", "GOMODCACHE").Output()
			if err != nil {
				return err
			}
			caches := strings.Fields(string(out))
			user, err := os.UserCacheDir()
			e.Setenv("GOCACHE", caches[0])
			e.Setenv("GOMODCACHE", caches[1])
			e.Setenv("XDG_CACHE_HOME", user)
			return err
		},
		Condition: func(name string) (bool, error) {
			if name != "long" {
				return false, fmt.Errorf("no condition %q", name)
			}
			return long, nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"code": code,
		},
	})
}

// code runs a command that must end with the given exit code: code N cmd args.
func code(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: code N command [args]")
	}
	err := ts.Exec(args[1], args[2:]...)
	got := "0"
	if err != nil {
		got = "?"
		if e, ok := err.(interface{ ExitCode() int }); ok {
			got = string(rune('0' + e.ExitCode()))
		}
	}
	if got != args[0] {
		ts.Fatalf("exit code %s, want %s", got, args[0])
	}
}
