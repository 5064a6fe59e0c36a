package borelog

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"secondop/fits/bore"
)

var id = bore.Identity{Insert: "disc magnet", NominalMM: 10, Material: "aluminium 6061-T6", Tool: "6 mm"}

func record(part int) bore.Record {
	return bore.Record{At: "2030-01-02T03:04:05Z", Part: part, Pass: 1, CommandedMM: 9.9, PartC: bore.NoTemperature(), RoomC: bore.NoTemperature()}
}

func add(path string, part int) (torn int, err error) {
	_, torn, err = Add(path, id, func(*bore.Log) (bore.Record, error) { return record(part), nil })
	return torn, err
}

func TestTwoWritersLoseNoRecord(t *testing.T) {
	path := filepath.Join(t.TempDir(), "knob.bore.log")
	const writers, each = 4, 12
	var all sync.WaitGroup
	errs := make([]error, writers)
	for w := range writers {
		all.Go(func() {
			for range each {
				if _, err := add(path, 1); err != nil {
					errs[w] = err
				}
			}
		})
	}
	all.Wait()
	for _, err := range errs {
		require.NoError(t, err)
	}
	l, err := Read(path, id)
	require.NoError(t, err)
	require.Len(t, l.Records, writers*each)
}

// Killed at any byte of a write: the file goes on from the last whole record.
func TestGoesOnAfterACutAtEveryByte(t *testing.T) {
	dir := t.TempDir()
	whole := filepath.Join(dir, "whole.log")
	for part := 1; part <= 2; part++ {
		_, err := add(whole, part)
		require.NoError(t, err)
	}
	text, err := os.ReadFile(whole)
	require.NoError(t, err)
	path := filepath.Join(dir, "cut.log")
	for n := range len(text) {
		require.NoError(t, os.WriteFile(path, text[:n], 0o644))
		before, err := Read(path, id)
		require.NoErrorf(t, err, "cut at byte %d", n)
		torn, err := add(path, 9)
		require.NoErrorf(t, err, "cut at byte %d", n)
		require.Equal(t, before.Torn(), torn)
		after, err := Read(path, id)
		require.NoErrorf(t, err, "cut at byte %d", n)
		require.Zero(t, after.Torn())
		require.Lenf(t, after.Records, len(before.Records)+1, "cut at byte %d", n)
	}
}

func TestRefusesWhatItMustNotTouch(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "notes.txt")
	require.NoError(t, os.WriteFile(path, []byte("secondop: 1\n"), 0o644))
	_, err := add(path, 1)
	require.ErrorContains(t, err, "no bore log")
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, "secondop: 1\n", string(text))
	// A decision against a record leaves no empty file behind.
	fresh := filepath.Join(dir, "fresh.log")
	_, _, err = Add(fresh, id, func(*bore.Log) (bore.Record, error) { return bore.Record{}, fmt.Errorf("no") })
	require.ErrorContains(t, err, "no")
	require.NoFileExists(t, fresh)
}

func TestReadOnlyFolder(t *testing.T) {
	if runtime.GOOS == "windows" || os.Geteuid() == 0 {
		t.Skip("this user may write anywhere")
	}
	dir := t.TempDir()
	require.NoError(t, os.Chmod(dir, 0o555))
	_, err := add(filepath.Join(dir, "knob.bore.log"), 1)
	require.ErrorIs(t, err, os.ErrPermission)
	l, err := Read(filepath.Join(dir, "knob.bore.log"), id)
	require.NoError(t, err)
	require.Empty(t, l.Records)
}
