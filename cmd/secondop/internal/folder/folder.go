package folder

import (
	"bufio"
	"bytes"
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"sort"
	"strings"
)

// Marker is the file that says a folder was made here. It lists the files that
// were written and their SHA-256, one "hash  name" a line after the first.
const Marker = ".secondop-made"

const markerHead = "This folder is replaced whole at the next run. Files:"

// File is one file to write. Name is a plain name without a folder.
type File struct {
	Name  string
	Bytes []byte
}

// SHA256 is the hash of the file's bytes in hexadecimal.
func (f File) SHA256() string {
	sum := sha256.Sum256(f.Bytes)
	return hex.EncodeToString(sum[:])
}

// ForeignError says that the target holds something that was not made here.
type ForeignError struct{ Path, Why string }

func (e *ForeignError) Error() string {
	return fmt.Sprintf("folder %q %s; name another folder with -o, or move it away", e.Path, e.Why)
}

// FS is what the writer needs of a file system. [Disk] is the real one; tests
// put a failing one in its place.
type FS interface {
	Mkdir(path string) error
	Write(path string, b []byte) error // whole, synced
	Sync(dir string) error
	Rename(from, to string) error
	RemoveAll(path string) error
	ReadFile(path string) ([]byte, error)
	ReadDir(path string) ([]fs.DirEntry, error)
	Lstat(path string) (fs.FileInfo, error)
}

// Report says what Write did besides writing.
type Report struct {
	// Kept names the folder to which files that a person had added or changed
	// were moved; empty when there were none.
	Kept      string
	KeptFiles []string
	// Recovered is true when a run that was cut short had left its previous
	// folder under another name, and it was put back before this one began.
	Recovered bool
}

// Write makes the folder target hold exactly files. The last of files is
// written last. On an error the target is as it was.
func Write(disk FS, target string, files []File) (Report, error) {
	w := writer{disk: disk, target: filepath.Clean(target)}
	if err := w.checkNames(files); err != nil {
		return Report{}, err
	}
	if err := w.recover(); err != nil {
		return Report{}, err
	}
	exists, err := w.checkTarget()
	if err != nil {
		return w.report, err
	}
	staged, err := w.stage(files)
	if err == nil {
		err = w.swap(staged, exists)
	}
	if err != nil {
		_ = w.disk.RemoveAll(staged) // best effort: the first error is the one to tell
		return w.report, w.cantWrite(err)
	}
	return w.report, w.clearPrevious()
}

type writer struct {
	disk   FS
	target string
	report Report
}

func (w *writer) beside(kind string) string {
	return filepath.Join(filepath.Dir(w.target), "."+filepath.Base(w.target)+"."+kind)
}

// reservedNames are file names that one of the systems we build for can't hold.
var reservedNames = map[string]bool{
	"con": true, "prn": true, "aux": true, "nul": true, "com1": true, "com2": true, "com3": true,
	"com4": true, "lpt1": true, "lpt2": true, "lpt3": true,
}

// Usable reports why a name can't be a file or folder name on one of the
// systems the program runs on, or "" when it can.
func Usable(name string) string {
	stem, _, _ := strings.Cut(strings.ToLower(name), ".")
	switch {
	case name == "" || name == "." || name == "..":
		return "is not a name"
	case reservedNames[strings.TrimSpace(stem)]:
		return "is reserved on Windows"
	case strings.ContainsAny(name, `<>:"/\|?*`) || strings.ContainsFunc(name, func(r rune) bool { return r < 32 }):
		return "has a character that Windows does not allow"
	case strings.HasSuffix(name, ".") || strings.HasSuffix(name, " "):
		return "ends in a dot or a space, which Windows does not allow"
	}
	return ""
}

func (w *writer) checkNames(files []File) error {
	seen := map[string]bool{}
	for _, f := range files {
		if why := Usable(f.Name); why != "" {
			return fmt.Errorf("file name %q %s", f.Name, why)
		}
		low := strings.ToLower(f.Name)
		if seen[low] || low == Marker {
			return fmt.Errorf("file name %q stands twice in one folder", f.Name)
		}
		seen[low] = true
	}
	return nil
}

// recover puts a previous folder back whose run was cut short between taking
// the old folder away and putting the new one in its place, and removes the
// unfinished staging folder of such a run.
func (w *writer) recover() error {
	_ = w.disk.RemoveAll(w.beside("staging"))
	previous := w.beside("previous")
	if _, err := w.disk.Lstat(previous); err != nil {
		return nil
	}
	if _, err := w.disk.Lstat(w.target); err == nil {
		// The new folder had arrived; only the clearing was missing.
		return w.clearPrevious()
	}
	if err := w.disk.Rename(previous, w.target); err != nil {
		return fmt.Errorf("put back the folder of an interrupted run: %w", err)
	}
	w.report.Recovered = true
	return nil
}

// cantWrite words an error for the folder that was asked for, not for the names
// that staging uses.
func (w *writer) cantWrite(err error) error {
	var path *fs.PathError
	if errors.As(err, &path) {
		err = path.Err
	}
	return fmt.Errorf("can't write the folder %q: %w; name another with -o", w.target, err)
}

func (w *writer) checkTarget() (exists bool, err error) {
	if why := Usable(filepath.Base(w.target)); why != "" {
		return false, fmt.Errorf("folder name %q %s", filepath.Base(w.target), why)
	}
	info, err := w.disk.Lstat(w.target)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return false, nil
	case err != nil:
		return false, err
	case !info.IsDir():
		return false, &ForeignError{Path: w.target, Why: "is a file, not a folder"}
	}
	entries, err := w.disk.ReadDir(w.target)
	if err != nil {
		return false, err
	}
	if len(entries) == 0 {
		return true, nil
	}
	if _, err := w.disk.ReadFile(filepath.Join(w.target, Marker)); err != nil {
		return false, &ForeignError{Path: w.target, Why: "was not made by this program (it has no " + Marker + " file)"}
	}
	return true, nil
}

func (w *writer) stage(files []File) (dir string, err error) {
	dir = w.beside("staging")
	if err := w.disk.Mkdir(dir); err != nil {
		return dir, err
	}
	var marker bytes.Buffer
	fmt.Fprintln(&marker, markerHead)
	for _, f := range files {
		fmt.Fprintf(&marker, "%s  %s\n", f.SHA256(), f.Name)
	}
	// The marker goes first, so that a folder is never seen without it.
	if err := w.disk.Write(filepath.Join(dir, Marker), marker.Bytes()); err != nil {
		return dir, err
	}
	for _, f := range files {
		if err := w.disk.Write(filepath.Join(dir, f.Name), f.Bytes); err != nil {
			return dir, err
		}
	}
	return dir, w.disk.Sync(dir)
}

func (w *writer) swap(staged string, exists bool) error {
	if exists {
		if err := w.disk.Rename(w.target, w.beside("previous")); err != nil {
			return err
		}
	}
	if err := w.disk.Rename(staged, w.target); err != nil {
		if exists {
			if back := w.disk.Rename(w.beside("previous"), w.target); back != nil {
				return fmt.Errorf("%w; the previous folder is now %q", err, w.beside("previous"))
			}
		}
		return err
	}
	return w.disk.Sync(filepath.Dir(w.target))
}

// clearPrevious moves what a person added or changed out of the replaced
// folder and removes the rest.
func (w *writer) clearPrevious() error {
	previous := w.beside("previous")
	entries, err := w.disk.ReadDir(previous)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	ours := w.listed(filepath.Join(previous, Marker))
	var theirs []string
	for _, e := range entries {
		if e.Name() == Marker {
			continue
		}
		if want, ok := ours[e.Name()]; ok && !e.IsDir() {
			b, err := w.disk.ReadFile(filepath.Join(previous, e.Name()))
			if err == nil && (File{Bytes: b}).SHA256() == want {
				continue
			}
		}
		theirs = append(theirs, e.Name())
	}
	if len(theirs) > 0 {
		if err := w.keep(previous, theirs); err != nil {
			return err
		}
	}
	return w.disk.RemoveAll(previous)
}

func (w *writer) keep(previous string, names []string) error {
	sort.Strings(names)
	kept := ""
	for n := 1; kept == ""; n++ {
		try := fmt.Sprintf("%s-kept-%d", w.target, n)
		if _, err := w.disk.Lstat(try); errors.Is(err, fs.ErrNotExist) {
			kept = try
		} else if n > 999 {
			return fmt.Errorf("folder %q: too many kept folders beside it", w.target)
		}
	}
	if err := w.disk.Mkdir(kept); err != nil {
		return err
	}
	for _, n := range names {
		if err := w.disk.Rename(filepath.Join(previous, n), filepath.Join(kept, n)); err != nil {
			return fmt.Errorf("your file %q is still in %q: %w", n, previous, err)
		}
	}
	w.report.Kept, w.report.KeptFiles = kept, names
	return nil
}

func (w *writer) listed(marker string) map[string]string {
	b, err := w.disk.ReadFile(marker)
	if err != nil {
		return nil
	}
	list := map[string]string{}
	for sc := bufio.NewScanner(bytes.NewReader(b)); sc.Scan(); {
		if hash, name, ok := strings.Cut(sc.Text(), "  "); ok && len(hash) == sha256.Size*2 {
			list[name] = hash
		}
	}
	return list
}

// WriteFile writes one file whole or not at all: staged beside it, synced, and
// renamed over it.
func WriteFile(disk FS, path string, b []byte) error {
	var tag [6]byte
	if _, err := io.ReadFull(rand.Reader, tag[:]); err != nil {
		return err
	}
	staged := filepath.Join(filepath.Dir(path), "."+filepath.Base(path)+"."+hex.EncodeToString(tag[:]))
	if err := disk.Write(staged, b); err != nil {
		_ = disk.RemoveAll(staged)
		return err
	}
	if err := disk.Rename(staged, path); err != nil {
		_ = disk.RemoveAll(staged)
		return err
	}
	return disk.Sync(filepath.Dir(path))
}

// Disk is the machine's own file system.
type Disk struct{}

// Mkdir makes one folder.
func (Disk) Mkdir(path string) error { return os.Mkdir(path, 0o755) }

// Write writes and syncs one new file.
func (Disk) Write(path string, b []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return err
	}
	_, err = f.Write(b)
	if err == nil {
		err = f.Sync()
	}
	if closeErr := f.Close(); err == nil {
		err = closeErr
	}
	return err
}

// Sync asks that a folder's entries reach the disk. Systems that can't sync a
// folder are not an error.
func (Disk) Sync(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return nil //nolint:nilerr // a folder that can't be opened for syncing is not a failed write
	}
	defer d.Close()
	_ = d.Sync()
	return nil
}

// Rename moves a file or folder.
func (Disk) Rename(from, to string) error { return os.Rename(from, to) }

// RemoveAll removes a file or folder with all it holds.
func (Disk) RemoveAll(path string) error { return os.RemoveAll(path) }

// ReadFile reads a whole file.
func (Disk) ReadFile(path string) ([]byte, error) { return os.ReadFile(path) }

// ReadDir lists a folder.
func (Disk) ReadDir(path string) ([]fs.DirEntry, error) { return os.ReadDir(path) }

// Lstat describes a file or folder.
func (Disk) Lstat(path string) (fs.FileInfo, error) { return os.Lstat(path) }
