package main

import (
	"fmt"
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"os"
	"path/filepath"
	"sort"
	"strings"
)

// source is a package's code, of which some mutants are woven in: all in one program, each
// switched on by its number.
type source struct {
	dir, name string
	fset      *token.FileSet
	files     map[string]*ast.File
	text      map[string][]byte
	info      *types.Info
	up        map[ast.Node]ast.Node // what a node is part of
	imports   types.Importer
	woven     map[string][]edit // by file
	most      int               // the largest number of a woven mutant
}

// edit replaces the text of a node by what wrap makes of the woven text of its parts.
type edit struct {
	from, to int
	whole    bool // stands outside others of the same text
	wrap     func(part func(from, to int) string) string
}

// read reads and checks the package in a directory, as it is built here.
func read(dir string) (*source, error) {
	s := &source{dir: dir, fset: token.NewFileSet(), files: map[string]*ast.File{}, text: map[string][]byte{},
		up: map[ast.Node]ast.Node{}, woven: map[string][]edit{},
		info: &types.Info{Types: map[ast.Expr]types.TypeAndValue{}}}
	at := "./" + filepath.ToSlash(dir)
	names, err := list("-f", "{{range .GoFiles}}{{.}} {{end}}", at)
	if err != nil {
		return nil, err
	}
	exports, err := list("-export", "-deps", "-f", "{{.ImportPath}} {{.Export}}", at, "os", "strconv", "sync/atomic")
	if err != nil {
		return nil, err
	}
	export := map[string]string{}
	for _, row := range strings.Split(exports, "\n") {
		if path, file, ok := strings.Cut(row, " "); ok {
			export[path] = file
		}
	}
	s.imports = importer.ForCompiler(s.fset, "gc", func(path string) (io.ReadCloser, error) { return os.Open(export[path]) })
	for _, n := range strings.Fields(names) {
		file := filepath.Join(dir, n)
		if s.text[file], err = os.ReadFile(file); err != nil {
			return nil, err
		}
		f, err := parser.ParseFile(s.fset, file, s.text[file], parser.SkipObjectResolution)
		if err != nil {
			return nil, err
		}
		s.files[file], s.name = f, f.Name.Name
		var above []ast.Node
		ast.Inspect(f, func(n ast.Node) bool {
			if n == nil {
				above = above[:len(above)-1]
				return true
			}
			if len(above) > 0 {
				s.up[n] = above[len(above)-1]
			}
			above = append(above, n)
			return true
		})
	}
	return s, s.check(s.files, s.info)
}

func (s *source) check(files map[string]*ast.File, info *types.Info) error {
	var all []*ast.File
	for _, name := range sorted(files) {
		all = append(all, files[name])
	}
	_, err := (&types.Config{Importer: s.imports}).Check(s.name, s.fset, all, info)
	return err
}

func sorted[V any](m map[string]V) []string {
	var names []string
	for n := range m {
		names = append(names, n)
	}
	sort.Strings(names)
	return names
}

// mutants lists the changes of all files.
func (s *source) mutants() (out []mutant) {
	for _, file := range sorted(s.files) {
		out = append(out, mutantsIn(s.fset, s.files[file], file, s.text[file])...)
	}
	return out
}

// compiles reports whether the package is one with a file's text replaced.
func (s *source) compiles(file, text string, more string) bool {
	f, err := parser.ParseFile(s.fset, file, text, parser.SkipObjectResolution)
	if err != nil {
		return false
	}
	files := map[string]*ast.File{}
	for name, g := range s.files {
		files[name] = g
		if w := s.woven[name]; len(w) > 0 && more != "" {
			if files[name], err = parser.ParseFile(s.fset, name, s.render(name), parser.SkipObjectResolution); err != nil {
				return false
			}
		}
	}
	files[file] = f
	if more != "" {
		if files["switch"], err = parser.ParseFile(s.fset, "switch.go", more, parser.SkipObjectResolution); err != nil {
			return false
		}
	}
	return s.check(files, nil) == nil
}

// weave weaves a mutant in under a number, and returns "woven"; "alone" where it needs a
// program of its own, as constants do, and "broken" where there is none of it.
func (s *source) weave(m *mutant, k int) string {
	if e, ok := s.edit(m, k); ok {
		was := s.woven[m.file]
		s.woven[m.file] = append(was[:len(was):len(was)], e)
		s.most = max(s.most, k)
		if s.compiles(m.file, s.render(m.file), s.switches("")) {
			return "woven"
		}
		s.woven[m.file] = was
	}
	if s.compiles(m.file, string(m.text()), "") {
		return "alone"
	}
	return "broken"
}

// render returns a file's woven text.
func (s *source) render(file string) string {
	edits := append([]edit{}, s.woven[file]...)
	sort.SliceStable(edits, func(i, j int) bool { // outer ones first
		a, b := &edits[i], &edits[j]
		if a.from != b.from || a.to != b.to {
			return a.from < b.from || a.from == b.from && a.to > b.to
		}
		return a.whole && !b.whole
	})
	var part func(from, to int, in []edit) string
	part = func(from, to int, in []edit) string {
		var out strings.Builder
		for i, e := range in {
			if e.from < from || e.to > to {
				continue
			}
			out.Write(s.text[file][from:e.from])
			rest := in[i+1:]
			out.WriteString(e.wrap(func(a, b int) string { return part(a, b, rest) }))
			from = e.to
		}
		out.Write(s.text[file][from:to])
		return out.String()
	}
	return part(0, len(s.text[file]), edits)
}

var helpers = map[token.Token]string{token.ADD: "mutantAdd", token.SUB: "mutantSub", token.MUL: "mutantMul", token.QUO: "mutantQuo", token.REM: "mutantRem",
	token.ADD_ASSIGN: "mutantAdd", token.SUB_ASSIGN: "mutantSub", token.MUL_ASSIGN: "mutantMul", token.QUO_ASSIGN: "mutantQuo", token.INC: "mutantAdd", token.DEC: "mutantSub"}

// edit returns how a mutant is woven in.
func (s *source) edit(m *mutant, k int) (e edit, ok bool) {
	at := func(n ast.Node) (int, int) { return s.fset.Position(n.Pos()).Offset, s.fset.Position(n.End()).Offset }
	if x, is := m.node.(ast.Expr); is && s.info.Types[x].Value != nil {
		return s.constant(m, x, k)
	}
	e.from, e.to = at(m.node)
	of := func(part func(int, int) string, n ast.Node) string { return part(at(n)) }
	switch n := m.node.(type) {
	case *ast.BinaryExpr:
		e.wrap = func(part func(int, int) string) string {
			x, y := of(part, n.X), of(part, n.Y)
			if helper := helpers[n.Op]; helper != "" {
				return fmt.Sprintf("%s(%d, %s, %s)", helper, k, x, y)
			}
			return fmt.Sprintf("(mutantOn(%d) && (%s %s %s) || !mutantOn(%d) && (%s %s %s))", k, x, m.with, y, k, x, n.Op, y)
		}
	case *ast.UnaryExpr:
		e.wrap = func(part func(int, int) string) string {
			if n.Op == token.NOT {
				return fmt.Sprintf("(mutantOn(%d) == (%s))", k, of(part, n.X))
			}
			return fmt.Sprintf("mutantNeg(%d, %s)", k, of(part, n.X))
		}
	case *ast.IfStmt:
		e.from, e.to = at(n.Cond)
		e.whole = true // of it the operator is a part
		e.wrap = func(part func(int, int) string) string {
			if strings.HasPrefix(m.with, "true") {
				return fmt.Sprintf("(mutantOn(%d) || (%s))", k, of(part, n.Cond))
			}
			return fmt.Sprintf("(!mutantOn(%d) && (%s))", k, of(part, n.Cond))
		}
	case *ast.AssignStmt:
		e.wrap = func(part func(int, int) string) string {
			x := of(part, n.Lhs[0])
			return fmt.Sprintf("%s = %s(%d, %s, %s)", x, helpers[n.Tok], k, x, of(part, n.Rhs[0]))
		}
	case *ast.IncDecStmt:
		e.wrap = func(part func(int, int) string) string {
			x := of(part, n.X)
			return fmt.Sprintf("%s = %s(%d, %s, 1)", x, helpers[n.Tok], k, x)
		}
	default:
		return e, false
	}
	return e, true
}

// constant weaves a change in the largest constant that a part of it is in.
func (s *source) constant(m *mutant, x ast.Expr, k int) (e edit, ok bool) {
	for {
		p, is := s.up[x].(ast.Expr)
		if !is || s.info.Types[p].Value == nil {
			break
		}
		x = p
	}
	typ := s.info.Types[x].Type
	if b, is := typ.(*types.Basic); is && b.Info()&types.IsUntyped != 0 {
		return e, false
	}
	name := types.TypeString(typ, func(p *types.Package) string {
		if p.Name() == s.name {
			return ""
		}
		return p.Name()
	})
	e.from, e.to = s.fset.Position(x.Pos()).Offset, s.fset.Position(x.End()).Offset
	changed := string(m.source[e.from:m.from]) + m.with + string(m.source[m.to:e.to])
	e.wrap = func(part func(int, int) string) string {
		return fmt.Sprintf("mutantPick[%s](%d, %s, %s)", name, k, part(e.from, e.to), changed)
	}
	return e, true
}

// mark is the text in a program that says which mutant is on; nine signs behind the colon
// are changed in the finished program, which so tells programs started by tests too.
const mark = "the mutant that is on:"

// place is that before the number of the folder for what is met, in the same way.
const place = "the folder for what is met:"

// switches returns the file with what woven code calls. Where no mutant is on but all are
// looked for, those that are met leave a file in the folder.
func (s *source) switches(folder string) string {
	return fmt.Sprintf(`package %s

import (
	mutantos "os"
	mutantconv "strconv"
	mutantatomic "sync/atomic"
)

var (
	mutantWhich = %q
	mutantNow   = mutantRead(mutantWhich)
	mutantPlace = %q
	mutantSeen  [%d]mutantatomic.Bool
)

//go:noinline
func mutantRead(s string) int {
	n, err := mutantconv.Atoi(s[%d:])
	if err != nil {
		return -1
	}
	return n
}

func mutantOn(k int) bool {
	if mutantNow == 0 {
		mutantMet(k)
	}
	return k == mutantNow
}

//go:noinline
func mutantMet(k int) {
	if !mutantSeen[k].Load() && !mutantSeen[k].Swap(true) {
		_ = mutantos.WriteFile(%q+"/"+mutantPlace[%d:]+"/"+mutantconv.Itoa(k), nil, 0o644)
	}
}

type mutantWhole interface {
	~int | ~int8 | ~int16 | ~int32 | ~int64 | ~uint | ~uint8 | ~uint16 | ~uint32 | ~uint64 | ~uintptr
}

type mutantNumber interface {
	mutantWhole | ~float32 | ~float64
}

func mutantAdd[T mutantNumber](k int, a, b T) T {
	if mutantOn(k) {
		return a - b
	}
	return a + b
}

func mutantSub[T mutantNumber](k int, a, b T) T {
	if mutantOn(k) {
		return a + b
	}
	return a - b
}

func mutantMul[T mutantNumber](k int, a, b T) T {
	if mutantOn(k) {
		return a / b
	}
	return a * b
}

func mutantQuo[T mutantNumber](k int, a, b T) T {
	if mutantOn(k) {
		return a * b
	}
	return a / b
}

func mutantRem[T mutantWhole](k int, a, b T) T {
	if mutantOn(k) {
		return a * b
	}
	return a %% b
}

func mutantNeg[T mutantNumber](k int, a T) T {
	if mutantOn(k) {
		return a
	}
	return -a
}

func mutantPick[T any](k int, a, b T) T {
	if mutantOn(k) {
		return b
	}
	return a
}
`, s.name, mark+"---------", place+"---------", s.most+1, len(mark), folder, len(place))
}
