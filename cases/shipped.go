package cases

import (
	"embed"
	"fmt"
	"io"
	"os"
	"path"
	"sort"
	"strings"
)

//go:embed shipped/*.yaml shipped/parts/*.yaml
var shipped embed.FS

// Shipped returns the names of the cases that come with the tool.
func Shipped() []string {
	entries, err := shipped.ReadDir("shipped")
	if err != nil {
		panic(err) // embedded at build time
	}
	var names []string
	for _, e := range entries {
		if e.IsDir() {
			continue
		}
		names = append(names, strings.TrimSuffix(e.Name(), ".yaml"))
	}
	sort.Strings(names)
	return names
}

// ShippedCatalogues returns the names of the parts catalogues that come with the
// tool.
func ShippedCatalogues() []string {
	entries, err := shipped.ReadDir("shipped/parts")
	if err != nil {
		panic(err) // embedded at build time
	}
	var names []string
	for _, e := range entries {
		names = append(names, strings.TrimSuffix(e.Name(), ".yaml"))
	}
	return names
}

// ShippedText returns the YAML text of a shipped case or catalogue.
func ShippedText(name string) ([]byte, error) {
	for _, dir := range []string{"shipped", "shipped/parts"} {
		if text, err := shipped.ReadFile(path.Join(dir, name+".yaml")); err == nil {
			return text, nil
		}
	}
	hint := ""
	if near := nearest(name, append(Shipped(), ShippedCatalogues()...)); near != "" {
		hint = fmt.Sprintf(", did you mean %q?", near)
	}
	return nil, &Error{File: name, Problem: "no such shipped case" + hint}
}

// Load reads a case: a shipped one by its name, a file by its path, standard
// input for "-". Mistakes in the case are an *Error; a file that cannot be read
// is one too.
func Load(name string, stdin io.Reader) (*Case, error) {
	file, text, err := Text(name, stdin)
	if err != nil {
		return nil, err
	}
	return Parse(file, text)
}

// Text returns what Load parses, and what messages call it. Errors are *Error.
func Text(name string, stdin io.Reader) (file string, text []byte, err error) {
	if name == "-" {
		text, err := io.ReadAll(io.LimitReader(stdin, MaxSize+1))
		if err != nil {
			return "", nil, &Error{File: "standard input", Problem: err.Error()}
		}
		return "standard input", text, nil
	}
	if !strings.ContainsAny(name, `/\.`) {
		if st, err := os.Stat(name); err != nil || st.IsDir() {
			text, err := ShippedText(name)
			if err != nil {
				return "", nil, &Error{File: name, Problem: strings.Replace(err.(*Error).Problem, "no such shipped case", "neither a file nor a shipped case", 1)}
			}
			return name + ".yaml", text, nil
		}
	}
	text, err = readFile(name)
	return name, text, err
}

// readFile reads a file of whatever kind, a byte more than MaxSize at most. Errors are
// *Error.
func readFile(name string) ([]byte, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, &Error{File: name, Problem: reason(err)}
	}
	defer f.Close()
	if st, err := f.Stat(); err == nil && st.IsDir() {
		return nil, &Error{File: name, Problem: "a folder, want a file"}
	}
	text, err := io.ReadAll(io.LimitReader(f, MaxSize+1))
	if err != nil {
		return nil, &Error{File: name, Problem: reason(err)}
	}
	return text, nil
}

// reason returns the bare reason of a file error.
func reason(err error) string {
	if pe, ok := err.(*os.PathError); ok {
		return pe.Err.Error()
	}
	return err.Error()
}
