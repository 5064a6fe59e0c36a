package folder

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
)

func run(n int) []File {
	return []File{
		{Name: "fixed-jaw.stl", Bytes: []byte(fmt.Sprintf("mesh of run %d", n))},
		{Name: "passes.csv", Bytes: []byte(fmt.Sprintf("passes of run %d", n))},
		{Name: "result.json", Bytes: []byte(fmt.Sprintf(`{"run": %d}`, n))},
	}
}

// holds checks that dir is exactly one whole run and says which, or 0 if there
// is no folder.
func holds(t *testing.T, dir string) int {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(dir, "result.json"))
	if errors.Is(err, fs.ErrNotExist) {
		_, err := os.Stat(dir)
		require.ErrorIs(t, err, fs.ErrNotExist, "a folder stands without its result.json")
		return 0
	}
	require.NoError(t, err)
	for n := 1; n < 9; n++ {
		files := run(n)
		if string(files[2].Bytes) != string(b) {
			continue
		}
		entries, err := os.ReadDir(dir)
		require.NoError(t, err)
		require.Len(t, entries, len(files)+1, "the folder mixes two runs")
		for _, f := range files {
			got, err := os.ReadFile(filepath.Join(dir, f.Name))
			require.NoError(t, err)
			require.Equal(t, string(f.Bytes), string(got))
		}
		return n
	}
	t.Fatalf("result.json = %q, which no run wrote", b)
	return 0
}

func TestAFolderIsReplacedWhole(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "knob ä.out")
	_, err := Write(Disk{}, dir, run(1))
	require.NoError(t, err)
	require.Equal(t, 1, holds(t, dir))
	more := append(run(2), File{Name: "bore.nc", Bytes: []byte("%")})
	_, err = Write(Disk{}, dir, more)
	require.NoError(t, err)
	_, err = Write(Disk{}, dir, run(3))
	require.NoError(t, err)
	require.Equal(t, 3, holds(t, dir), "no old bore.nc may stay")
}

func TestAFolderOfTheUsersIsRefused(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "photos")
	require.NoError(t, os.Mkdir(dir, 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "a.jpg"), []byte("x"), 0o644))
	_, err := Write(Disk{}, dir, run(1))
	var foreign *ForeignError
	require.ErrorAs(t, err, &foreign)
	entries, _ := os.ReadDir(filepath.Dir(dir))
	require.Len(t, entries, 1, "something was left beside the refused folder")

	file := filepath.Join(t.TempDir(), "f")
	require.NoError(t, os.WriteFile(file, []byte("mine"), 0o644))
	_, err = Write(Disk{}, file, run(1))
	require.ErrorAs(t, err, &foreign)
}

func TestWhatAPersonAddedOrChangedIsKept(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "job.out")
	_, err := Write(Disk{}, dir, run(1))
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "notes.txt"), []byte("good"), 0o644))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "passes.csv"), []byte("9.984 measured"), 0o644))
	rep, err := Write(Disk{}, dir, run(2))
	require.NoError(t, err)
	require.Equal(t, 2, holds(t, dir))
	require.Equal(t, []string{"notes.txt", "passes.csv"}, rep.KeptFiles)
	b, err := os.ReadFile(filepath.Join(rep.Kept, "passes.csv"))
	require.NoError(t, err)
	require.Equal(t, "9.984 measured", string(b))
}

func TestNamesThatWindowsCantHoldAreRefused(t *testing.T) {
	for _, name := range []string{"", "..", "a/b", `a\b`, "con.txt", "AUX", "a?.stl", "x.", "x ", "a\nb"} {
		require.NotEmpty(t, Usable(name), "Usable(%q)", name)
	}
	for _, name := range []string{"fixed-jaw.stl", "Käfer 2.out", "console.txt"} {
		require.Empty(t, Usable(name), "Usable(%q)", name)
	}
}

// limited fails the n-th change to the disk, or ends the process there.
type limited struct {
	Disk
	left *int
	die  bool
}

var errFull = errors.New("no space left on device")

func (l limited) step() error {
	*l.left--
	if *l.left != 0 {
		return nil
	}
	if l.die {
		os.Exit(9)
	}
	return errFull
}

func (l limited) Mkdir(p string) error {
	if err := l.step(); err != nil {
		return err
	}
	return l.Disk.Mkdir(p)
}

func (l limited) Write(p string, b []byte) error {
	if *l.left == 1 { // torn: half of it arrives
		_ = l.Disk.Write(p, b[:len(b)/2])
	}
	if err := l.step(); err != nil {
		return err
	}
	return l.Disk.Write(p, b)
}

func (l limited) Rename(a, b string) error {
	if err := l.step(); err != nil {
		return err
	}
	return l.Disk.Rename(a, b)
}

func (l limited) RemoveAll(p string) error {
	if err := l.step(); err != nil {
		return err
	}
	return l.Disk.RemoveAll(p)
}

func TestAFullDiskLeavesTheOldRunOrTheNew(t *testing.T) {
	failed := 0
	for n := 1; n <= 12; n++ {
		dir := filepath.Join(t.TempDir(), "job.out")
		_, err := Write(Disk{}, dir, run(1))
		require.NoError(t, err)
		left := n
		_, err = Write(limited{left: &left}, dir, run(2))
		if err != nil {
			failed++
			require.ErrorIs(t, err, errFull)
		}
		require.Contains(t, []int{1, 2}, holds(t, dir), "after failure at change %d", n)
		_, err = Write(Disk{}, dir, run(3))
		require.NoError(t, err)
		require.Equal(t, 3, holds(t, dir))
		entries, _ := os.ReadDir(filepath.Dir(dir))
		require.Len(t, entries, 1, "a staging folder was left after failure at change %d", n)
	}
	require.Greater(t, failed, 6, "the failing disk hardly failed")
}

func TestAKilledProcessLeavesTheOldRunOrTheNew(t *testing.T) {
	if at := os.Getenv("FOLDER_DIE_AT"); at != "" {
		left, _ := strconv.Atoi(at)
		_, _ = Write(limited{left: &left, die: true}, os.Getenv("FOLDER_DIR"), run(2))
		return
	}
	killed := 0
	for n := 1; n <= 9; n++ {
		dir := filepath.Join(t.TempDir(), "job.out")
		_, err := Write(Disk{}, dir, run(1))
		require.NoError(t, err)
		cmd := exec.Command(os.Args[0], "-test.run=^TestAKilledProcessLeavesTheOldRunOrTheNew$")
		cmd.Env = append(os.Environ(), "FOLDER_DIE_AT="+strconv.Itoa(n), "FOLDER_DIR="+dir)
		if cmd.Run() != nil {
			killed++
		}
		got := holds(t, dir)
		if got == 0 { // killed between the two renames: the old run is whole under its other name
			require.Equal(t, 1, holds(t, filepath.Join(filepath.Dir(dir), ".job.out.previous")))
		}
		_, err = Write(Disk{}, dir, run(3))
		require.NoError(t, err, "the next run after being killed at change %d", n)
		require.Equal(t, 3, holds(t, dir))
	}
	require.Greater(t, killed, 5)
}

func TestAReadOnlyFolderIsAnErrorAndNothingElse(t *testing.T) {
	if os.Getuid() == 0 {
		t.Log("running as root, which no permission stops: a file stands where the folder should be instead")
		base := filepath.Join(t.TempDir(), "file")
		require.NoError(t, os.WriteFile(base, nil, 0o644))
		_, err := Write(Disk{}, filepath.Join(base, "job.out"), run(1))
		require.Error(t, err)
		return
	}
	base := t.TempDir()
	require.NoError(t, os.Chmod(base, 0o555))
	_, err := Write(Disk{}, filepath.Join(base, "job.out"), run(1))
	require.ErrorIs(t, err, fs.ErrPermission)
}

func TestWriteFileIsWholeOrNotAtAll(t *testing.T) {
	p := filepath.Join(t.TempDir(), "shop.yaml")
	require.NoError(t, WriteFile(Disk{}, p, []byte("one")))
	left := 1
	require.ErrorIs(t, WriteFile(limited{left: &left}, p, []byte("two, longer")), errFull)
	b, _ := os.ReadFile(p)
	require.Equal(t, "one", string(b))
	entries, _ := os.ReadDir(filepath.Dir(p))
	require.Len(t, entries, 1)
}
