package install

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/spf13/cobra"
)

// made is a command with what is hard to write in roff.
func made() *cobra.Command {
	root := &cobra.Command{Use: "bayhand", Short: "The hand", RunE: func(*cobra.Command, []string) error { return nil }}
	c := &cobra.Command{
		Use: `try [\n] A-B`, Short: "Try it - once", Long: ".dot begins\n'quote begins\n\nA\\B stays -1 dB\n\n  indented -x",
		Example: "  bayhand try --at 'a b'\n.x", RunE: func(*cobra.Command, []string) error { return nil },
	}
	c.Flags().Bool("json", false, "answers for programs")
	c.Flags().String("at", "main", "where the `POINT` is")
	c.Flags().BoolP("quiet", "q", false, "say less")
	c.AddCommand(&cobra.Command{Use: "hidden", Hidden: true})
	root.AddCommand(c)
	return root
}

func TestPages(t *testing.T) {
	pages := manPages(made(), "1.2")
	if len(pages) != 2 || pages["bayhand.1"] == nil {
		t.Fatalf("%d pages, want bayhand.1 and bayhand-try.1", len(pages))
	}
	page := string(pages["bayhand-try.1"])
	for _, want := range []string{
		`.TH "BAYHAND-TRY" 1 "" "bayhand 1.2"`, `bayhand\-try \- Try it \- once`, `\fB\-\-json\fR` + "\n", `\fB\-\-at\fR \fIPOINT\fR` + "\n" + `where the POINT is (otherwise main)`,
		`\fB\-q\fR, \fB\-\-quiet\fR` + "\n", `\&.dot begins`, `\&'quote begins`, `A\eB stays \-1 dB`, "\n  indented \\-x\n",
	} {
		if !strings.Contains(page, want) {
			t.Errorf("the page has no %q:\n%s", want, page)
		}
	}
	for line := range strings.Lines(page) {
		// man(7): a request of these, or none.
		if strings.HasPrefix(line, ".") && !strings.Contains(" .TH .SH .B .BR .TP .PP .nf .fi ", " "+strings.Fields(line)[0]+" ") {
			t.Errorf("a line that roff takes as a request: %q", line)
		}
	}
}

// groff itself has nothing to say against the pages, and shows them as meant.
func TestPagesAreShown(t *testing.T) {
	groff, err := exec.LookPath("groff")
	if err != nil {
		if os.Getenv("BAYHAND_PEERS") == "require" {
			t.Fatal("groff is missing")
		}
		t.Skip("groff is missing")
	}
	c := exec.Command(groff, "-man", "-ww", "-Tascii", "-P-cbou")
	c.Stdin = bytes.NewReader(manPages(made(), "1.2")["bayhand-try.1"])
	var complaints bytes.Buffer
	c.Stderr = &complaints
	shown, err := c.Output()
	if err != nil || complaints.Len() > 0 {
		t.Errorf("%v\n%s", err, complaints.Bytes())
	}
	for _, want := range []string{`A\B stays -1 dB`, ".dot begins 'quote begins", "  indented -x", "-q, --quiet", "bayhand try --at 'a b'"} {
		if !strings.Contains(string(shown), want) {
			t.Errorf("it does not show %q:\n%s", want, shown)
		}
	}
}

// systemd's own tools read the users and folders of the package.
func TestSystemdReadsThem(t *testing.T) {
	files, err := Files(made(), "1", Hardening{})
	if err != nil {
		t.Fatal(err)
	}
	root := t.TempDir()
	if err := Write(root, files); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(filepath.Join(root, "etc"), 0o755); err != nil {
		t.Fatal(err)
	}
	for _, tool := range [][]string{
		{"systemd-sysusers", "--root=" + root, filepath.Join(root, "usr/lib/sysusers.d/bayhand.conf")},
		{"systemd-tmpfiles", "--root=" + root, "--create", filepath.Join(root, "usr/lib/tmpfiles.d/bayhand.conf")},
	} {
		path, err := exec.LookPath(tool[0])
		if err != nil {
			if os.Getenv("BAYHAND_PEERS") == "require" {
				t.Fatal(err)
			}
			t.Skip(err)
		}
		if os.Geteuid() != 0 {
			t.Skip("only root may make users")
		}
		if out, err := exec.Command(path, tool[1:]...).CombinedOutput(); err != nil {
			t.Errorf("%s: %v\n%s", tool[0], err, out)
		}
	}
	passwd, err := os.ReadFile(filepath.Join(root, "etc/passwd"))
	if err != nil || !strings.Contains(string(passwd), "bayhand:") || !strings.Contains(string(passwd), "nologin") {
		t.Errorf("the user is made as %q (%v)", passwd, err)
	}
	groups, _ := os.ReadFile(filepath.Join(root, "etc/group"))
	for _, group := range []string{"audio", "dialout"} {
		if !strings.Contains(string(groups), group+":") || !strings.Contains(string(groups), "bayhand") {
			t.Errorf("group %s: %q", group, groups)
		}
	}
	if info, err := os.Stat(filepath.Join(root, "srv/bayhand")); err != nil || info.Mode().Perm() != 0o775 || info.Mode()&os.ModeSetgid == 0 {
		t.Errorf("the folder of the studios: %v %v", info, err)
	}
}
