// Package borelog keeps a bore log in a file: locked against other programs,
// written in one go, brought to the disk and read back before anything is
// answered.
package borelog

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/rogpeppe/go-internal/lockedfile"

	"secondop/fits/bore"
)

// maxBytes bounds a log before it is read: some 100,000 records.
const maxBytes = 16 << 20

// Read gives the log as it stands. A file that isn't there is an empty log.
func Read(path string, id bore.Identity) (*bore.Log, error) {
	f, err := lockedfile.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return bore.ReadLog(bytes.NewReader(nil), id)
	}
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return parse(f, path, id)
}

func parse(f *lockedfile.File, path string, id bore.Identity) (*bore.Log, error) {
	all, err := io.ReadAll(io.LimitReader(f, maxBytes+1))
	if err != nil {
		return nil, err
	}
	if len(all) > maxBytes {
		return nil, fmt.Errorf("%s is larger than %d MB, which no bore log is", path, maxBytes>>20)
	}
	l, err := bore.ReadLog(bytes.NewReader(all), id)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return l, nil
}

// Add appends the record that decide gives for the log as it stands. The file is
// locked from the reading to the end, so that two programs at once lose no
// record. A tail that a cut-off write has left is taken off first; torn is its
// length in bytes. When Add returns without an error the record is on the disk.
func Add(path string, id bore.Identity, decide func(*bore.Log) (bore.Record, error)) (log *bore.Log, torn int, err error) {
	_, statErr := os.Stat(path)
	f, err := lockedfile.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o644)
	if err != nil {
		return nil, 0, err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	l, err := parse(f, path, id)
	if err != nil {
		return nil, 0, err
	}
	whole, torn := int64(l.Whole()), l.Torn()
	record, err := decide(l)
	if err != nil {
		if statErr != nil {
			err = errors.Join(err, os.Remove(path)) // ours, and still empty
		}
		return nil, torn, err
	}
	_, line := l.Append(record)
	if err := write(f, whole, line); err != nil {
		return nil, torn, fmt.Errorf("%s: the record is not safely written: %w", path, err)
	}
	if statErr != nil {
		err = syncFolder(filepath.Dir(path))
	}
	return l, torn, err
}

// write puts line at the offset, the end of the whole lines, and reads it back.
func write(f *lockedfile.File, at int64, line []byte) error {
	if err := f.Truncate(at); err != nil {
		return err
	}
	if _, err := f.WriteAt(line, at); err != nil {
		return errors.Join(err, f.Truncate(at))
	}
	if err := f.Sync(); err != nil {
		return err
	}
	back := make([]byte, len(line)+1)
	n, err := f.ReadAt(back, at)
	if err != nil && !errors.Is(err, io.EOF) {
		return err
	}
	if !bytes.Equal(back[:n], line) {
		return fmt.Errorf("what was read back is not what was written")
	}
	return nil
}

// syncFolder brings a new file's name to the disk, where the system can do it.
func syncFolder(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return nil // the record itself is safe
	}
	defer d.Close()
	_ = d.Sync()
	return nil
}
