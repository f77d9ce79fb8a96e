package main

import (
	"bytes"
	"context"
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"bayhand/model/heard"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/scope"
	"bayhand/recall/disk"
	"bayhand/recall/files"
	"bayhand/recall/paper"
	"bayhand/recall/words"
)

// sheeting is what sheet is asked for.
type sheeting struct {
	printing
	wall, blank, text bool
	since, from, page string
	// patch is a file with the patch that the sheet is of; empty for the session's.
	patch string
}

func sheetCommand(a *app) *cobra.Command {
	var w sheeting
	c := &cobra.Command{
		Use:        "sheet [SESSION...]",
		SuggestFor: []string{"print"},
		Short:      "The recall sheet of a session, the wall sheet, or a blank form",
		Long: `Make the sheet that is filed with the project: notes, every cord in plugging
order with its mark, matrices, settings and what else the session needs, to
recall it with the computer off. With --wall it is the sheet for the wall beside
the bay, with --blank the form to plan a patch on by hand. Without --paper it is
text.

The steps begin at the patch that the room is known to be in, and the sheet says
how that is known; or at the patch that --from names. With --since it begins at
another session, and only what differs is told. With --patch it leads to the
patch of a file, whether that gives the session or not.`,
		Example:           "  bayhand sheet tern-mix-2 --paper tern.pdf\n  bayhand sheet tern-mix-2 --since tern-mix-1\n  bayhand sheet --wall --paper wall.pdf\n  bayhand sheet --blank --paper form.pdf",
		ValidArgsFunction: completeSessions(a),
		RunE: func(c *cobra.Command, args []string) error {
			for _, pair := range [][2]string{{"wall", "blank"}, {"since", "from"}, {"wall", "since"}, {"wall", "from"}, {"blank", "since"}, {"blank", "from"}, {"wall", "patch"}, {"blank", "patch"}, {"since", "patch"}, {"text", "paper"}} {
				if err := eitherFlag(c, pair[0], pair[1]); err != nil {
					return err
				}
			}
			return runSheet(c.Context(), a, args, w)
		},
	}
	w.flags(c, "the sheet")
	c.Flags().BoolVar(&w.wall, "wall", false, "the sheet for the wall beside the bay: the rest patch")
	c.Flags().BoolVar(&w.blank, "blank", false, "the form to fill in by hand")
	c.Flags().BoolVar(&w.text, "text", false, "as text, which it is without --paper as well")
	c.Flags().StringVar(&w.since, "since", "", "only what differs from session `S`, and the way from there")
	c.Flags().StringVar(&w.from, "from", "", "the way from the patch in `FILE`, or from rest, or from empty (default: the present patch)")
	c.Flags().StringVar(&w.patch, "patch", "", "the sheet of the patch in `FILE`")
	c.Flags().StringVar(&w.page, "page", "", "the `ADDRESS` of the page, for the picture that a camera reads (default: the session's name)")
	must(c.RegisterFlagCompletionFunc("since", completeSessions(a)))
	must(c.MarkFlagFilename("from", "yaml", "json"))
	must(c.MarkFlagFilename("patch", "yaml", "json"))
	return c
}

func runSheet(ctx context.Context, a *app, sessions []string, w sheeting) error {
	switch whole := w.wall || w.blank; {
	case whole && len(sessions) > 0:
		return wrongUsage("a sheet of the whole room is of no session; leave out %s", strings.Join(sessions, ", "))
	case !whole && len(sessions) == 0:
		return wrongUsage("name the session, or ask for --wall or --blank")
	case w.patch != "" && len(sessions) > 1:
		return wrongUsage("a patch is of one session; leave out all but one of %s", strings.Join(sessions, ", "))
	case w.blank && w.file == "":
		return wrongUsage("a form is filled in on paper; add --paper FILE.pdf")
	}
	to, err := w.ready()
	if err != nil {
		return err
	}
	targets := sheetFiles(to.file, sessions)
	for _, file := range targets {
		if err := writable(file, pdfBegins); file != "" && err != nil {
			return err
		}
	}
	p, err := a.files.sound()
	if err != nil {
		return err
	}
	if w.wall || w.blank {
		return wholeRoom(a.out, p, w, to)
	}
	begin, err := w.start(ctx, a, p)
	if err != nil {
		return err
	}
	sheets := []paper.Recall{}
	for _, called := range sessions {
		sheet, err := recallSheet(ctx, a, p, called, w, begin)
		if err != nil {
			return err
		}
		sheets = append(sheets, sheet)
	}
	return giveSheets(a.out, sheets, targets, to)
}

// sheetFiles are the files of several sheets: the one that was given, or beside it
// one a session, named after it.
func sheetFiles(file string, sessions []string) []string {
	if file == "" || len(sessions) < 2 {
		return []string{file}
	}
	ending := filepath.Ext(file)
	var all []string
	for _, s := range sessions {
		called := strings.TrimSuffix(filepath.Base(s), files.Ending)
		all = append(all, strings.TrimSuffix(file, ending)+"-"+called+ending)
	}
	return all
}

func wholeRoom(o *output, p *files.Studio, w sheeting, to press) error {
	if w.blank {
		if err := hasBays(p.Studio, "form"); err != nil {
			return err
		}
	}
	l := paper.Wall{Room: p.Room, Date: today(), Origin: origin(p.File, p.Source)}
	if to.file == "" {
		lists := paper.WallLists(p.Room)
		if o.json {
			return o.answer(map[string]any{"lists": lists})
		}
		if len(lists) == 0 {
			o.printf("nothing is heard in the rest patch\n")
		}
		for _, list := range lists {
			o.printf("%s\n", list.Title)
			for _, line := range list.Lines {
				o.lines("  ", "    ", line)
			}
		}
		return nil
	}
	draw := paper.WallPDF
	if w.blank {
		draw = paper.BlankPDF
	}
	err := o.print(to.file, func(page *bytes.Buffer) ([]paper.Warning, error) { return draw(page, l, to.size, to.fonts...) })
	if err != nil {
		return err
	}
	return o.say(map[string]any{"file": to.file}, "%s is written", to.file)
}

// recallSheet makes the sheet of one session.
func recallSheet(ctx context.Context, a *app, p *files.Studio, called string, w sheeting, begin sheetStart) (paper.Recall, error) {
	read, err := a.files.session(p, called)
	if err != nil {
		return paper.Recall{}, err
	}
	if w.patch != "" {
		return sheetOfPatch(ctx, a, p, read, w, begin)
	}
	var other paper.Recall
	if w.since != "" {
		since, err := a.files.session(p, w.since)
		if err != nil {
			return paper.Recall{}, err
		}
		begin.request = plan.Request{Studio: p.Studio, From: p.Studio.Rest.Clone(), Partly: true}
		begin.request.Session = since.Session
		if other, begin.request.From, err = plannedFor(ctx, a, p, since, begin.request); err != nil {
			return paper.Recall{}, err
		}
		begin.known = "The steps begin at its patch."
	}
	shown := newProgress(a.out.err)
	defer shown.end()
	begin.request.Progress = shown.tell
	sheet, err := begin.sheet(ctx, p, read, a.files.at.Session(read.Name))
	if err != nil {
		return paper.Recall{}, err
	}
	if w.since != "" {
		sheet = sheet.SinceOther(other)
	}
	sheet.Date, sheet.Address = today(), pageOf(w.page, called)
	return sheet, nil
}

// sheetOfPatch is the sheet of a session in the patch of a file, whether that gives
// the session or not.
func sheetOfPatch(ctx context.Context, a *app, p *files.Studio, read *files.Session, w sheeting, begin sheetStart) (paper.Recall, error) {
	target, err := a.files.named(p, w.patch)
	if err != nil {
		return paper.Recall{}, err
	}
	sheet, _, err := plannedFor(ctx, a, p, read, p.Toward(read, begin.request, target))
	if err != nil {
		return paper.Recall{}, &failure{cannot, fmt.Errorf("no way leads to the patch in %s: %w", w.patch, err)}
	}
	sheet.Problems = append(sheet.Problems, paper.NotGiven(p.Room, read.Session, target, w.patch)...)
	sheet.MarkKnown(begin.present)
	sheet.Known = words.Put("{beginning} The patch is that of {file}; nobody has read it back.", "beginning", begin.known, "file", dated(w.patch, filepath.Base(w.patch)))
	sheet.Date, sheet.Address = today(), pageOf(w.page, read.Name)
	return sheet, nil
}

// sheet is that of a session, by the way from here.
func (b sheetStart) sheet(ctx context.Context, p *files.Studio, read *files.Session, file string) (paper.Recall, error) {
	request, made, err := b.way(ctx, p, read)
	if err != nil {
		return paper.Recall{}, err
	}
	sheet, err := sheetOf(p, read, file, request, made)
	if err != nil {
		return paper.Recall{}, err
	}
	sheet.Known = b.known + " " + patchWords(read, sheet, file)
	if b.standing != nil && len(p.Studio.Rooms) > 0 {
		sheet = sheet.Beside(p.Studio, b.standing.Known.Patch(), scope.RoomsOf(p.Studio, read.Session))
	}
	sheet.MarkKnown(b.present)
	return sheet, nil
}

// patchWords say why the patch of a sheet is believed.
func patchWords(read *files.Session, sheet paper.Recall, file string) string {
	switch {
	case len(sheet.Missing) > 0:
		return "Some of the session is not possible. This is the rest of it."
	case read.Session.Patch != nil && sheet.Kept(*read.Session.Patch):
		return words.Put("{patch}.", "patch", dated(file, "The patch is the one that its file keeps from the last time"))
	}
	return "The patch is planned from the files; nobody has read it back."
}

// plannedFor is planned, with what is told of the search on the way.
func plannedFor(ctx context.Context, a *app, p *files.Studio, read *files.Session, request plan.Request) (paper.Recall, patch.Patch, error) {
	shown := newProgress(a.out.err)
	defer shown.end()
	request.Progress = shown.tell
	return planned(ctx, p, read, a.files.at.Session(read.Name), request)
}

// planned is the sheet of a session by the way that a request asks for, and the patch
// at its end.
func planned(ctx context.Context, p *files.Studio, read *files.Session, file string, request plan.Request) (paper.Recall, patch.Patch, error) {
	made, err := planner.Make(ctx, request)
	if err != nil {
		return paper.Recall{}, patch.Patch{}, err
	}
	sheet, err := sheetOf(p, read, file, request, made)
	return sheet, patch.Patch(made.Target), err
}

// sheetOf is the sheet of a session by a plan that was made.
func sheetOf(p *files.Studio, read *files.Session, file string, request plan.Request, made *plan.Plan) (paper.Recall, error) {
	pictures, err := picturesOf(read)
	if err != nil {
		return paper.Recall{}, err
	}
	sheet := paper.FromOccasion(paper.Occasion{Room: heard.NewRoom(request.Studio), Session: read.Session, Plan: made, From: request.From, Pictures: pictures})
	sheet.Origin = origin(p.File, p.Source)
	if src := read.Sources[file]; src != nil {
		sheet.Origin += ", " + origin(file, src)
	}
	return sheet, nil
}

// mostPicture is how large a photograph may be.
const mostPicture = 64 << 20

// picturesOf reads the photographs that a session names, each beside the file that
// names it.
func picturesOf(read *files.Session) (map[string][]byte, error) {
	all := map[string][]byte{}
	for _, picture := range read.Session.Pictures {
		at, _ := read.Places.Of(picture.Key)
		file := filepath.Join(filepath.Dir(at.File), filepath.FromSlash(picture.File))
		src, err := disk.Read(file, mostPicture)
		if err == nil {
			err = paper.CheckPicture(src)
		}
		if err != nil {
			return nil, &failure{cannot, fmt.Errorf("%s: the picture of %s, %s, cannot be used: %s; take it out or give another", at, picture.Gear, file, files.Reason(err))}
		}
		all[picture.Gear] = src
	}
	return all, nil
}

// pageOf is where the session stands on the page, or its name where nobody said where
// the page is.
func pageOf(page, called string) string {
	called = strings.TrimSuffix(filepath.Base(called), files.Ending)
	if page == "" {
		return called
	}
	return strings.TrimSuffix(page, "/") + "/sessions/" + called
}

func giveSheets(o *output, sheets []paper.Recall, targets []string, to press) error {
	if to.file == "" {
		if o.json {
			return o.answer(sheets)
		}
		for i, sheet := range sheets {
			if i > 0 {
				o.printf("\n")
			}
			if err := paper.RecallText(o.to, sheet, o.width()); err != nil {
				return err
			}
		}
		return nil
	}
	for i, sheet := range sheets {
		err := o.print(targets[i], func(page *bytes.Buffer) ([]paper.Warning, error) {
			return paper.RecallPDF(page, sheet, to.size, to.fonts...)
		})
		if err != nil {
			return err
		}
	}
	if o.json {
		return o.answer(sheets)
	}
	for _, file := range targets {
		o.printf("%s is written\n", file)
	}
	return nil
}
