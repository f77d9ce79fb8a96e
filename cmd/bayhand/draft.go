package main

import (
	"bytes"
	"errors"

	"bayhand/recall/disk"
)

// errChanged is said where a file is not as it was when somebody began to draw.
var errChanged = errors.New("the file was changed since this was begun, and nothing was written; copy what you typed, and begin again")

// loadDraft is the studio's file for who draws it in the page; the empty one where
// there is none yet.
func (p *bayPage) loadDraft() ([]byte, error) {
	at := p.library.Place()
	if at.Missing() {
		return emptyStudio, nil
	}
	return disk.Text(at.Studio)
}

// saveDraft writes what was drawn, where the file still is as it was.
func (p *bayPage) saveDraft(was, now []byte) error {
	at := p.library.Place()
	if at.Missing() {
		if err := disk.Create(at.Studio, now); err != nil {
			return err
		}
	} else if err := disk.Replace(at.Studio, now, func() error { return stillIs(at.Studio, was) }); err != nil {
		return err
	}
	if p.laid != nil {
		p.laid()
	}
	return nil
}

func stillIs(file string, was []byte) error {
	is, err := disk.Text(file)
	if err != nil {
		return err
	}
	if !bytes.Equal(is, was) {
		return errChanged
	}
	return nil
}
