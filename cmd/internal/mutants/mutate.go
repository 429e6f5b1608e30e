package main

import (
	"fmt"
	"go/ast"
	"go/token"
	"strconv"
)

// mutant is one change of a file: bytes from to are replaced.
type mutant struct {
	file      string
	line, col int
	from, to  int
	with      string
	source    []byte
	node      ast.Node // what is changed
}

func (m mutant) String() string {
	return fmt.Sprintf("%s:%d:%d: %s -> %s", m.file, m.line, m.col, m.source[m.from:m.to], m.with)
}

// text returns the changed file.
func (m *mutant) text() []byte {
	out := append([]byte{}, m.source[:m.from]...)
	out = append(out, m.with...)
	return append(out, m.source[m.to:]...)
}

// swaps are what operators are changed to.
var swaps = map[token.Token]string{
	token.ADD: "-", token.SUB: "+", token.MUL: "/", token.QUO: "*", token.REM: "*",
	token.LSS: "<=", token.LEQ: "<", token.GTR: ">=", token.GEQ: ">", token.EQL: "!=", token.NEQ: "==",
	token.LAND: "||", token.LOR: "&&",
	token.ADD_ASSIGN: "-=", token.SUB_ASSIGN: "+=", token.MUL_ASSIGN: "/=", token.QUO_ASSIGN: "*=",
	token.INC: "--", token.DEC: "++",
}

// mutantsIn lists the changes of a file: operators, numbers, signs, and conditions that
// are always or never so. Texts, tags and constants of an iota list are left alone.
func mutantsIn(fset *token.FileSet, f *ast.File, file string, source []byte) (out []mutant) {
	add := func(node ast.Node, from, to token.Pos, with string) {
		p := fset.Position(from)
		out = append(out, mutant{file, p.Line, p.Column, p.Offset, fset.Position(to).Offset, with, source, node})
	}
	operator := func(node ast.Node, at token.Pos, op token.Token) {
		if with, ok := swaps[op]; ok {
			add(node, at, at+token.Pos(len(op.String())), with)
		}
	}
	text := map[ast.Expr]bool{} // joined texts, which have no minus
	ast.Inspect(f, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.ImportSpec:
			return false
		case *ast.BinaryExpr:
			if n.Op == token.ADD && (isText(n.X) || isText(n.Y) || text[n]) {
				text[n.X], text[n.Y] = true, true
				break
			}
			operator(n, n.OpPos, n.Op)
		case *ast.AssignStmt:
			operator(n, n.TokPos, n.Tok)
		case *ast.IncDecStmt:
			operator(n, n.TokPos, n.Tok)
		case *ast.UnaryExpr:
			if n.Op == token.NOT || n.Op == token.SUB {
				add(n, n.OpPos, n.OpPos+1, "")
			}
		case *ast.IfStmt:
			add(n, n.Cond.Pos(), n.Cond.End(), "true || "+condition(source, fset, n.Cond))
			add(n, n.Cond.Pos(), n.Cond.End(), "false && "+condition(source, fset, n.Cond))
		case *ast.BasicLit:
			if with, ok := number(n); ok {
				add(n, n.Pos(), n.End(), with)
			}
		}
		return true
	})
	return out
}

// condition returns a condition in brackets, so that what it uses stays used.
func condition(source []byte, fset *token.FileSet, e ast.Expr) string {
	return "(" + string(source[fset.Position(e.Pos()).Offset:fset.Position(e.End()).Offset]) + ")"
}

func isText(e ast.Expr) bool {
	l, ok := e.(*ast.BasicLit)
	return ok && l.Kind == token.STRING
}

// number returns what a number is changed to: one more for a whole one, a tenth more for
// another.
func number(l *ast.BasicLit) (string, bool) {
	switch l.Kind {
	case token.INT:
		if x, err := strconv.ParseInt(l.Value, 0, 64); err == nil {
			return strconv.FormatInt(x+1, 10), true
		}
	case token.FLOAT:
		if x, err := strconv.ParseFloat(l.Value, 64); err == nil && x != 0 {
			return strconv.FormatFloat(1.1*x, 'g', -1, 64), true
		}
		return "1.0", true
	}
	return "", false
}
