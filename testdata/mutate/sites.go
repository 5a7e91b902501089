package main

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"strconv"
	"strings"
)

// writer writes a file anew with the flips in it.
type writer struct {
	fset     *token.FileSet
	src      []byte
	info     *types.Info
	pkg      *types.Package
	path     string
	all      *[]flip
	constant bool // inside what must be constant
	bare     map[ast.Node]bool
}

// bareConditions are the conditions, and the parts of them, that are a name or a
// call: if ok, case cereal(f), a && ok.
func bareConditions(tree *ast.File) map[ast.Node]bool {
	out := map[ast.Node]bool{}
	note := func(conditions ...ast.Expr) {
		for _, c := range conditions {
			switch c.(type) {
			case *ast.Ident, *ast.SelectorExpr, *ast.CallExpr:
				out[c] = true
			}
		}
	}
	ast.Inspect(tree, func(n ast.Node) bool {
		switch x := n.(type) {
		case *ast.IfStmt:
			note(x.Cond)
		case *ast.SwitchStmt:
			if x.Tag == nil {
				for _, c := range x.Body.List {
					note(c.(*ast.CaseClause).List...)
				}
			}
		case *ast.BinaryExpr:
			if x.Op == token.LAND || x.Op == token.LOR {
				note(x.X, x.Y)
			}
		}
		return true
	})
	return out
}

// text is a stretch of the file, below and without node itself, with its flips.
func (w *writer) text(from, to token.Pos, node ast.Node) string {
	var out strings.Builder
	raw := func(to token.Pos) {
		out.Write(w.src[w.fset.Position(from).Offset:w.fset.Position(to).Offset])
	}
	ast.Inspect(node, func(n ast.Node) bool {
		if n == nil || n == node {
			return true
		}
		if s, ok := w.site(n); ok {
			raw(n.Pos())
			out.WriteString(s)
			from = n.End()
			return false
		}
		return true
	})
	raw(to)
	return out.String()
}

func (w *writer) whole(n ast.Node) string {
	if s, ok := w.site(n); ok {
		return s
	}
	return w.text(n.Pos(), n.End(), n)
}

// site is the text of a node that can be flipped.
func (w *writer) site(n ast.Node) (string, bool) {
	if w.bare[n] {
		number := w.add(n.Pos(), "", "!")
		a := w.text(n.Pos(), n.End(), n)
		return fmt.Sprintf("!flippedNot(%d, %s)", number, a), true
	}
	switch x := n.(type) {
	case *ast.GenDecl:
		if x.Tok == token.CONST {
			return w.asConstant(n), true
		}
	case *ast.ArrayType:
		if x.Len != nil && !w.constant {
			return w.asConstant(n), true
		}
	case *ast.UnaryExpr:
		if x.Op != token.NOT && !w.constant && w.info.Types[x].Value != nil { // so does -1
			return w.asConstant(n), true
		}
		if x.Op == token.NOT {
			number := w.add(x.OpPos, "!", "")
			a := w.whole(x.X)
			return fmt.Sprintf("flippedNot(%d, %s)", number, a), true
		}
	case *ast.BinaryExpr:
		return w.binary(x)
	case *ast.BasicLit:
		return w.number(x)
	}
	return "", false
}

// binary is the text of two values and what stands between them.
func (w *writer) binary(x *ast.BinaryExpr) (string, bool) {
	if !w.constant && w.info.Types[x].Value != nil { // 12 * 60 takes the type of what it is beside
		return w.asConstant(x), true
	}
	switch x.Op {
	case token.LAND:
		return fmt.Sprintf("flippedAnd(%d, %s, func() bool { return %s })", w.add(x.OpPos, "&&", "||"), w.whole(x.X), w.whole(x.Y)), true
	case token.LOR:
		return fmt.Sprintf("flippedOr(%d, %s, func() bool { return %s })", w.add(x.OpPos, "||", "&&"), w.whole(x.X), w.whole(x.Y)), true
	}
	if flips[x.Op] == nil {
		return "", false
	}
	var numbers []int
	for _, op := range flips[x.Op] {
		numbers = append(numbers, w.add(x.OpPos, x.Op.String(), op.String()))
	}
	a := w.whole(x.X)
	b := ""
	if lit, ok := x.Y.(*ast.BasicLit); ok && lit.Kind == token.INT && (x.Op == token.LSS || x.Op == token.GEQ) && w.isWhole(x.X) {
		b = lit.Value // one higher is the border's flip
	} else {
		b = w.whole(x.Y)
	}
	text := fmt.Sprintf("flipped(%d, %s %s %s", numbers[0], a, x.Op, b)
	for _, op := range flips[x.Op] {
		text += fmt.Sprintf(", %s %s %s", a, op, b)
	}
	return text + ")", true
}

// number is the text of a figure.
func (w *writer) number(x *ast.BasicLit) (string, bool) {
	v, err := strconv.ParseFloat(x.Value, 64)
	more := strconv.FormatFloat(v*1.1, 'g', -1, 64)
	switch {
	case err != nil || x.Kind != token.INT && x.Kind != token.FLOAT:
		return "", false
	case x.Kind == token.INT:
		more = strconv.Itoa(int(v) + 1)
	case v == 0:
		more = "0.1"
	}
	number := w.add(x.Pos(), x.Value, more)
	if w.constant {
		return x.Value, true
	}
	is := types.TypeString(types.Default(w.info.Types[x].Type), func(p *types.Package) string {
		if p == w.pkg {
			return ""
		}
		return p.Name()
	})
	return fmt.Sprintf("flipped[%s](%d, %s, %s)", is, number, x.Value, more), true
}

// asConstant notes the flips of what must be constant and leaves its text alone.
func (w *writer) asConstant(n ast.Node) string {
	w.constant = true
	w.text(n.Pos(), n.End(), n)
	w.constant = false
	return string(w.src[w.fset.Position(n.Pos()).Offset:w.fset.Position(n.End()).Offset])
}

func (w *writer) isWhole(x ast.Expr) bool {
	basic, ok := w.info.Types[x].Type.Underlying().(*types.Basic)
	return ok && basic.Info()&types.IsInteger != 0
}
