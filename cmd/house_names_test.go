package cmd_test

import (
	"go/ast"
	"go/token"
	"strings"
	"testing"
)

// privateNames are names of functions and types that had three meanings, or none that
// the field knows, with what to write instead.
var privateNames = map[string]string{
	"anew":     "replan",
	"apart":    "what is split, disjoint or forbidden",
	"barren":   "no source",
	"found":    "finding, outcome, match, or what is listed",
	"hall":     "shortage",
	"hello":    "poll",
	"island":   "node",
	"law":      "objective",
	"lets":     "what is allowed",
	"letsgo":   "high impedance",
	"minds":    "forbidden",
	"now":      "current",
	"patient":  "a deadline or a limit",
	"robs":     "override",
	"seat":     "assignment",
	"settle":   "decide, narrow, refine or reconcile",
	"shelf":    "cache",
	"soon":     "a deadline",
	"taste":    "objective",
	"thief":    "override",
	"together": "gang, merged or combined",
	"twin":     "symmetric",
	"twins":    "symmetric",
}

// TestNamesAreOfTheField holds functions and types to the words of the glossary. Fields
// are not looked at, nor the clocks' Now and the lists of what a machine has, Found.
func TestNamesAreOfTheField(t *testing.T) {
	for _, s := range sources(t) {
		for _, id := range declaredNames(s.file) {
			instead, private := privateNames[strings.ToLower(id.Name)]
			if private && id.Name != "Now" && id.Name != "Found" {
				t.Errorf("%s: %s is no word of the field: write %s", s.set.Position(id.Pos()), id.Name, instead)
			}
		}
	}
}

// declaredNames are the names of the functions, methods and types of a file.
func declaredNames(f *ast.File) (all []*ast.Ident) {
	for _, d := range f.Decls {
		switch d := d.(type) {
		case *ast.FuncDecl:
			all = append(all, d.Name)
		case *ast.GenDecl:
			if d.Tok == token.TYPE {
				for _, spec := range d.Specs {
					all = append(all, spec.(*ast.TypeSpec).Name)
				}
			}
		}
	}
	return all
}
