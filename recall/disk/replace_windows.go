package disk

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"unsafe"

	"golang.org/x/sys/windows"
)

// put writes a file, which info is about; nil where none is there. It is written beside
// its place first. One that is there is replaced by the system's own ReplaceFile, by
// which it keeps its owner, access list, attributes and time of creation; one of
// several names, or on a file system that cannot do that, is written in place.
func put(file string, info fs.FileInfo, content []byte, still func() error) error {
	if info != nil {
		several, err := severalNames(file)
		switch {
		case info.Mode().Perm()&0o200 == 0:
			return &fs.PathError{Op: "write", Path: file, Err: fs.ErrPermission}
		case err != nil:
			return err
		case several:
			return inPlace(file, info, content, still)
		}
	}
	made, err := filled(file, content)
	if err == nil {
		err = still()
	}
	if err == nil && info == nil {
		err = moved(made, file)
	} else if err == nil && replaced(file, made) != nil {
		err = inPlace(file, info, content, func() error { return nil })
		return errors.Join(err, gone(made))
	}
	if err != nil {
		return errors.Join(err, gone(made))
	}
	return nil
}

// filled is a new file beside another one, on the disk.
func filled(file string, content []byte) (string, error) {
	made, err := os.CreateTemp(filepath.Dir(file), ".replace-*")
	if err != nil {
		return "", err
	}
	_, err = made.Write(content)
	return made.Name(), errors.Join(err, made.Sync(), made.Close())
}

func gone(made string) error {
	if err := os.Remove(made); !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}

// severalNames asks the system for the hard links of a file that this process may
// write.
func severalNames(file string) (bool, error) {
	f, err := os.OpenFile(file, os.O_WRONLY, 0)
	if err != nil {
		return false, err
	}
	defer f.Close()
	var about windows.ByHandleFileInformation
	if err := windows.GetFileInformationByHandle(windows.Handle(f.Fd()), &about); err != nil {
		return false, nil // then it is replaced as one of one name
	}
	return about.NumberOfLinks > 1, nil
}

// moved puts a new file in its place, and returns once that is on the disk.
func moved(made, file string) error {
	from, errFrom := windows.UTF16PtrFromString(made)
	to, err := windows.UTF16PtrFromString(file)
	if err = errors.Join(errFrom, err); err != nil {
		return err
	}
	return windows.MoveFileEx(from, to, windows.MOVEFILE_REPLACE_EXISTING|windows.MOVEFILE_WRITE_THROUGH)
}

var replaceFile = windows.NewLazySystemDLL("kernel32.dll").NewProc("ReplaceFileW")

// replaced has the system replace a file that is there by another one. Its old content
// is beside it (CopyOf) for as long as that takes, and put back where it breaks off.
func replaced(file, made string) error {
	kept := CopyOf(file)
	if _, err := os.Lstat(kept); err == nil {
		return fs.ErrExist // left of a writing that broke off: inPlace says so
	}
	var names [3]*uint16
	for i, name := range []string{file, made, kept} {
		var err error
		if names[i], err = windows.UTF16PtrFromString(name); err != nil {
			return err
		}
	}
	did, _, err := replaceFile.Call(uintptr(unsafe.Pointer(names[0])), uintptr(unsafe.Pointer(names[1])), uintptr(unsafe.Pointer(names[2])), 0, 0, 0)
	if did != 0 {
		_ = os.Remove(kept) // one that is left is told of
		return nil
	}
	if _, missing := os.Lstat(file); missing != nil {
		return errors.Join(err, os.Rename(kept, file))
	}
	return err
}
