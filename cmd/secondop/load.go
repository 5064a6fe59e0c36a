package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"secondop/cmd/secondop/internal/job"
	"secondop/cmd/secondop/internal/plan"
)

// maxDrawingBytes bounds an outline file before it is read; the readers have
// their own limits on what is in it.
const maxDrawingBytes = 64 << 20

// maxJobBytes bounds a job or shop file before it is read.
const maxJobBytes = 4 << 20

// loaded is a job with the way to the files it names.
type loaded struct {
	*job.Job
	files plan.Files
}

// load reads a job file and the shop file with it: the one named by --shop, or
// shop.yaml beside the job if it exists.
func (a *app) load(path, shopPath string) (loaded, error) {
	text, err := readLimited(path, maxJobBytes)
	if err != nil {
		return loaded{}, err
	}
	shop, shopPath, err := readShop(path, shopPath)
	if err != nil {
		return loaded{}, err
	}
	j, faults := job.Read(path, text, shopPath, shop)
	if job.AnyError(faults) {
		return loaded{}, &plan.RefusedError{Faults: faults}
	}
	dir := filepath.Dir(path)
	return loaded{Job: j, files: func(name string) ([]byte, error) {
		if !filepath.IsAbs(name) {
			name = filepath.Join(dir, filepath.FromSlash(name))
		}
		return readLimited(name, maxDrawingBytes)
	}}, nil
}

func readShop(jobPath, shopPath string) (text []byte, path string, err error) {
	if shopPath != "" {
		text, err = readLimited(shopPath, maxJobBytes)
		return text, shopPath, err
	}
	beside := filepath.Join(filepath.Dir(jobPath), "shop.yaml")
	text, err = readLimited(beside, maxJobBytes)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, "", nil
	}
	return text, beside, err
}

// readLimited reads a file of at most limit bytes.
func readLimited(path string, limit int64) ([]byte, error) {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return nil, err
	case info.IsDir():
		return nil, fmt.Errorf("%s is a folder, not a file", path)
	case info.Size() > limit:
		return nil, fmt.Errorf("%s has %d MB; at most %d MB are read", path, info.Size()>>20, limit>>20)
	}
	return os.ReadFile(path)
}

// outputFolder is where a command writes: what -o says, or the job's name with
// the ending .out beside it.
func outputFolder(jobPath, asked string) string {
	if asked != "" {
		return asked
	}
	return besideJob(jobPath, ".out")
}

// besideJob is the path of something beside the job file that has its name with
// another ending.
func besideJob(jobPath, ending string) string {
	return strings.TrimSuffix(jobPath, filepath.Ext(jobPath)) + ending
}

// oneJob is the check of a command line that names one job file.
func oneJob(c *cobra.Command, args []string) error {
	if len(args) != 1 {
		return fmt.Errorf("%s takes one job file, as in: %s job.yaml", c.Name(), c.CommandPath())
	}
	return nil
}
