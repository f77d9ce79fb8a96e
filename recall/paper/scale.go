package paper

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
)

var (
	rootOf   = regexp.MustCompile(`/Root (\d+) 0 R`)
	sizeOf   = regexp.MustCompile(`/Size (\d+)`)
	infoOf   = regexp.MustCompile(`/Info \d+ 0 R`)
	xrefFrom = regexp.MustCompile(`startxref\n(\d+)\n`)
)

// unscaled adds to a document the wish that it be printed at its true size:
// /PrintScaling /None (ISO 32000-1, Table 150), by an incremental update (7.5.6),
// since the library that writes it has no such option. It is a hint, which a printer
// may ignore; the ruler on the page is the proof.
func unscaled(pdf []byte) ([]byte, error) {
	at := bytes.LastIndex(pdf, []byte("trailer"))
	if at < 0 {
		return nil, errors.New("the page could not be made: the document has no trailer")
	}
	trailer := pdf[at:]
	root, size, info, xref := rootOf.FindSubmatch(trailer), sizeOf.FindSubmatch(trailer), infoOf.Find(trailer), xrefFrom.FindSubmatch(trailer)
	if root == nil || size == nil || info == nil || xref == nil {
		return nil, errors.New("the page could not be made: the trailer of the document is not as it should be")
	}
	begin := bytes.LastIndex(pdf, []byte(fmt.Sprintf("\n%s 0 obj\n<<\n", root[1])))
	if begin < 0 {
		return nil, errors.New("the page could not be made: the document has no catalog")
	}
	catalog := pdf[begin+1:]
	catalog = catalog[:bytes.Index(catalog, []byte("endobj"))]
	catalog = bytes.Replace(catalog, []byte("<<\n"), []byte("<<\n/ViewerPreferences << /PrintScaling /None >>\n"), 1)
	var out bytes.Buffer
	out.Write(pdf)
	object := out.Len()
	fmt.Fprintf(&out, "%sendobj\n", catalog)
	table := out.Len()
	fmt.Fprintf(&out, "xref\n%s 1\n%010d 00000 n \ntrailer\n<<\n/Size %s\n/Root %s 0 R\n%s\n/Prev %s\n>>\nstartxref\n%d\n%%%%EOF\n",
		root[1], object, size[1], root[1], info, xref[1], table)
	return out.Bytes(), nil
}
