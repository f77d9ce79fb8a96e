// Package cmd_test holds the rules of the house, as tests over its source.
package cmd_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
)

const module = "bayhand/"

// source is one Go file outside tests.
type source struct {
	path, room string // room is the folder, such as model/heard
	file       *ast.File
	set        *token.FileSet
}

// sources are all files of the project outside tests, parsed once.
func sources(t *testing.T) []source {
	t.Helper()
	all, err := parsed()
	if err != nil {
		t.Fatal(err)
	}
	if len(all) < 20 {
		t.Fatalf("only %d files of Go found: the walk is wrong", len(all))
	}
	return all
}

var parsed = sync.OnceValues(func() (all []source, _ error) {
	err := filepath.WalkDir("..", func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		set := token.NewFileSet()
		file, err := parser.ParseFile(set, path, nil, parser.ParseComments)
		if err != nil {
			return err
		}
		clean := roomed(path)
		all = append(all, source{clean, filepath.ToSlash(filepath.Dir(clean)), file, set})
		return nil
	})
	return all, err
})

func imports(s source) []string {
	var paths []string
	for _, spec := range s.file.Imports {
		path, _ := strconv.Unquote(spec.Path.Value)
		paths = append(paths, path)
	}
	return paths
}

// ban forbids imports: no file whose room begins with from, but not with
// except, may import a path that begins with to.
type ban struct {
	from, to string
	except   string
	reason   string
}

var bans = []ban{
	{"model", module + "drivers", "", "the model knows no device, so that it can be trusted about all of them"},
	{"model", module + "recall", "", "the model is what the keeper stands on, not the other way round"},
	{"model", module + "simulators", "", "the model must not agree with a simulator by being it"},
	{"model", module + "cmd", "", "the command line is the roof"},
	{"drivers", module + "recall", "", "a driver serves whoever holds it"},
	{"drivers", module + "simulators", "", "a driver that knew the simulator would prove nothing about devices"},
	{"drivers", module + "cmd", "", "the command line is the roof"},
	{"recall", module + "simulators", "", "the keeper cannot tell a simulator from a device"},
	{"recall", module + "cmd", "", "the command line is the roof"},
	{"simulators", module + "drivers", "", "each end of a line has its own reading of a description, so that one misreading cannot cancel itself out"},
	{"simulators", module + "recall", "", "a simulator is a device, or a bay, and nothing more"},
	{"simulators", module + "cmd", "", "the command line is the roof"},
	{"simulators/contacts", module + "model/heard", "", "the bay of springs checks what the model computes, so it may not compute with it"},
	{"simulators/contacts", module + "model/graph", "", "the bay of springs checks what the model computes, so it may not compute with it"},
	{"simulators/contacts", module + "model/plan", "", "the bay of springs checks what the model computes, so it may not compute with it"},
	{"simulators/contacts", module + "model/planner", "", "the bay of springs checks what the model computes, so it may not compute with it"},
	{"model/plan", module + "model/planner", "", "a plan is a value; the search for it is the planner's"},
	{"simulators/contacts", module + "model/order", "", "the bay of springs checks what the model computes, so it may not compute with it"},
	{"model/graph", module + "model/heard", "", "what is heard is asked of the graph, not the other way round"},
	{"model/graph", module + "model/planner", "", "the graph judges nothing and looks for nothing"},
	{"model/heard", module + "model/planner", "", "what is heard is known without a plan"},
	{"model/name", module, "", "names stand under everything"},

	{"model", "os", "", "the model does no input or output"},
	{"model", "io/fs", "", "the model does no input or output"},
	{"model", "net", "", "the model does no input or output"},
	{"model", "time", "", "the model knows no clock: the same files give the same answer at any hour"},
	{"model", "log", "", "the model returns what it has to say"},
	// The tones are drawn by ChaCha8 from a fixed seed, which is the same everywhere.
	{"model", "math/rand", "model/tones", "the same files give the same plan on every machine"},
	{"", "gopkg.in/yaml.v3", "model/text", "one reader of files, with one way of reporting their mistakes"},
	{"", "gitlab.com/gomidi/midi/v2", "drivers", "simulators take MIDI bytes apart by themselves, and nobody else sees bytes"},
	{"", "github.com/google/go-cmp", "", "tests compare with it, and the program needs no library of tests"},
	{"", "go.bug.st/serial", "drivers", "links are opened in one place"},
}

// within says whether path is prefix or lies below it.
func within(path, prefix string) bool {
	prefix = strings.TrimSuffix(prefix, "/")
	return prefix == "" || path == prefix || strings.HasPrefix(path, prefix+"/")
}

func TestArrowsBetweenRooms(t *testing.T) {
	for _, s := range sources(t) {
		for _, path := range imports(s) {
			for _, b := range bans {
				if within(s.room, b.from) && within(path, b.to) && (b.except == "" || !within(s.room, b.except)) {
					t.Errorf("%s imports %s: %s", s.path, path, b.reason)
				}
			}
		}
	}
}

// A search counts its own work; nothing in the model runs beside its caller.
func TestModelStartsNoGoroutine(t *testing.T) {
	for _, s := range sources(t) {
		if !within(s.room, "model") {
			continue
		}
		ast.Inspect(s.file, func(n ast.Node) bool {
			if _, is := n.(*ast.GoStmt); is {
				t.Errorf("%s starts a goroutine", s.path)
			}
			return true
		})
	}
}

// Waiting for a time is waiting for the wrong thing: wait for what happens, or
// on a clock that was passed in.
func TestNobodySleeps(t *testing.T) {
	for _, s := range sources(t) {
		ast.Inspect(s.file, func(n ast.Node) bool {
			call, ok := n.(*ast.SelectorExpr)
			if !ok || call.Sel.Name != "Sleep" {
				return true
			}
			if pkg, ok := call.X.(*ast.Ident); ok && pkg.Name == "time" {
				t.Errorf("%s calls time.Sleep", s.path)
			}
			return true
		})
	}
}

// opensItself are files of the command line that open what the program wrote itself, or
// look once more at what was opened by name.
var opensItself = map[string]string{
	"madefile.go":     "keeps what was ticked in the state folder",
	"overwrite.go":    "looks how what would be written over begins",
	"tidy.go":         "looks whether a file is as it was read",
	"listen_files.go": "streams a recording, and says with files.Unread what it could not open",
}

// What a person named is opened by files.Named, which says in the same words everywhere
// why it cannot be read.
func TestNamedFilesAreOpenedByOneFunction(t *testing.T) {
	for _, s := range sources(t) {
		if s.room != "cmd/bayhand" || opensItself[filepath.Base(s.path)] != "" {
			continue
		}
		ast.Inspect(s.file, func(n ast.Node) bool {
			call, ok := n.(*ast.SelectorExpr)
			if !ok || call.Sel.Name != "ReadFile" && call.Sel.Name != "Open" {
				return true
			}
			if pkg, ok := call.X.(*ast.Ident); ok && pkg.Name == "os" {
				t.Errorf("%s calls os.%s: what a person named is read by files.Named", s.path, call.Sel.Name)
			}
			return true
		})
	}
}

// A package says in its first words what its words mean.
func TestEveryPackageIsExplained(t *testing.T) {
	doc := map[string]string{}
	for _, s := range sources(t) {
		doc[s.room] += s.file.Doc.Text()
	}
	for room, text := range doc {
		if len(text) < 80 {
			t.Errorf("package %s has no documentation to speak of: %q", room, text)
		}
		switch filepath.Base(room) {
		case "util", "utils", "common", "types", "helpers", "misc":
			t.Errorf("package %s is named for nothing in a studio", room)
		}
	}
}

// What is exported is explained.
func TestEveryExportIsExplained(t *testing.T) {
	for _, s := range sources(t) {
		if within(s.room, "cmd") {
			continue
		}
		for _, d := range s.file.Decls {
			if f, ok := d.(*ast.FuncDecl); ok && f.Name.IsExported() && exported(f) && f.Doc == nil && !obvious[f.Name.Name] {
				t.Errorf("%s: %s has no comment", s.path, f.Name.Name)
			}
			if g, ok := d.(*ast.GenDecl); ok && g.Tok == token.TYPE {
				checkTypes(t, s, g)
			}
		}
	}
}

// obvious methods say by their name alone what they do.
var obvious = map[string]bool{"String": true, "Error": true, "Unwrap": true, "Len": true, "Less": true, "Swap": true}

func exported(f *ast.FuncDecl) bool {
	if f.Recv == nil {
		return true
	}
	receiver := f.Recv.List[0].Type
	if star, ok := receiver.(*ast.StarExpr); ok {
		receiver = star.X
	}
	id, ok := receiver.(*ast.Ident)
	return ok && id.IsExported()
}

func checkTypes(t *testing.T, s source, g *ast.GenDecl) {
	t.Helper()
	for _, spec := range g.Specs {
		if ts := spec.(*ast.TypeSpec); ts.Name.IsExported() && ts.Doc == nil && g.Doc == nil {
			t.Errorf("%s: type %s has no comment", s.path, ts.Name.Name)
		}
	}
}
