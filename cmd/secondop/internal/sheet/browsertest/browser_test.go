package browsertest

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"secondop/cmd/secondop/internal/job"
	"secondop/cmd/secondop/internal/plan"
	"secondop/cmd/secondop/internal/sheet"
)

const examples = "../../../../../examples"

// browserNames are tried on PATH, in this order.
var browserNames = []string{"chromium", "chromium-browser", "google-chrome", "google-chrome-stable"}

// patience bounds one test: a hung browser fails it instead of the whole run.
const patience = 2 * time.Minute

// browser starts a browser that talks to nobody by itself. Software rendering
// serves WebGL where there is no graphics card.
func browser(t testing.TB, flags ...chromedp.ExecAllocatorOption) context.Context {
	t.Helper()
	found := ""
	for _, name := range browserNames {
		if path, err := exec.LookPath(name); err == nil {
			found = path
			break
		}
	}
	if found == "" {
		t.Skipf("no browser on PATH (%s): the sheet was not opened", strings.Join(browserNames, ", "))
	}
	opts := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(found), chromedp.DisableGPU,
		chromedp.Flag("disable-background-networking", true), chromedp.Flag("disable-component-update", true),
		chromedp.Flag("disable-domain-reliability", true), chromedp.Flag("no-pings", true),
		chromedp.Flag("hide-scrollbars", true), chromedp.UserDataDir(t.TempDir()))
	if os.Geteuid() == 0 {
		opts = append(opts, chromedp.NoSandbox)
	}
	opts = append(opts, flags...)
	ctx, stop := context.WithTimeout(context.Background(), patience)
	t.Cleanup(stop)
	ctx, stopAll := chromedp.NewExecAllocator(ctx, opts...)
	t.Cleanup(stopAll)
	ctx, stopTab := chromedp.NewContext(ctx)
	t.Cleanup(stopTab)
	do(t, ctx)
	return ctx
}

// withWebGL renders by software.
var withWebGL = []chromedp.ExecAllocatorOption{
	chromedp.Flag("disable-gpu", false), chromedp.Flag("use-gl", "angle"), chromedp.Flag("use-angle", "swiftshader"),
	chromedp.Flag("enable-unsafe-swiftshader", true),
}

// sheetOf writes the sheet of an example, its text changed by edit, and returns
// the file's address.
func sheetOf(t testing.TB, name string, edit func(string) string) string {
	t.Helper()
	path := filepath.Join(examples, filepath.FromSlash(name))
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	changed := string(text)
	if edit != nil {
		changed = edit(changed)
	}
	j, faults := job.Read(path, []byte(changed), "", nil)
	require.Falsef(t, job.AnyError(faults), "%v", faults)
	p, err := plan.Make(context.Background(), j, func(n string) ([]byte, error) {
		return os.ReadFile(filepath.Join(filepath.Dir(path), filepath.FromSlash(n)))
	})
	require.NoError(t, err)
	out := filepath.Join(t.TempDir(), "setup-sheet.html")
	f, err := os.Create(out)
	require.NoError(t, err)
	require.NoError(t, sheet.Write(f, p, p.Result("secondop 1.0")))
	require.NoError(t, f.Close())
	return "file://" + filepath.ToSlash(out)
}

// watched is what a page asks for and complains of.
type watched struct {
	sync.Mutex
	requests, complaints []string
}

func watch(t *testing.T, ctx context.Context) *watched {
	t.Helper()
	w := &watched{}
	require.NoError(t, chromedp.Listen(ctx, func(ev any) {
		w.Lock()
		defer w.Unlock()
		switch ev := ev.(type) {
		case *network.EventRequestWillBeSent:
			w.requests = append(w.requests, ev.Request.URL)
		case *runtime.EventExceptionThrown:
			w.complaints = append(w.complaints, ev.ExceptionDetails.Text)
		case *runtime.EventConsoleAPICalled:
			if ev.Type == runtime.ConsoleAPICalledTypeError {
				w.complaints = append(w.complaints, "console.error was called")
			}
		case *log.EventEntryAdded:
			if ev.Entry.Level == log.EntryLevelError {
				w.complaints = append(w.complaints, ev.Entry.Text)
			}
		}
	}))
	_, err := chromedp.Call(ctx, log.Enable, cdp.Empty{})
	require.NoError(t, err)
	_, err = chromedp.Call(ctx, network.Enable, network.EnableParams{})
	require.NoError(t, err)
	return w
}

func (w *watched) check(t *testing.T, address string) {
	t.Helper()
	w.Lock()
	defer w.Unlock()
	require.Empty(t, w.complaints, "console")
	require.NotEmpty(t, w.requests)
	for _, r := range w.requests {
		if r != address && !strings.HasPrefix(r, "data:") {
			t.Errorf("the sheet asks for %.80s, must ask for nothing but itself", r)
		}
	}
}

// do runs steps that return nothing.
func do(t testing.TB, ctx context.Context, steps ...chromedp.Action[chromedp.Void]) {
	t.Helper()
	require.NoError(t, chromedp.Do(ctx, steps...))
}

// get runs a step and returns its value.
func get[T any](t testing.TB, ctx context.Context, a chromedp.Action[T]) T {
	t.Helper()
	v, err := chromedp.Run(ctx, a)
	require.NoError(t, err)
	return v
}

// media sets what the page believes it is shown on.
func media(t testing.TB, ctx context.Context, p emulation.SetEmulatedMediaParams) {
	t.Helper()
	_, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, p)
	require.NoError(t, err)
}

// open shows a sheet on a window of this width and waits until its view stands.
func open(t testing.TB, ctx context.Context, address string, wide int64) {
	t.Helper()
	do(t, ctx, chromedp.EmulateViewport(wide, 900), chromedp.Navigate(address), chromedp.WaitVisible(chromedp.CSS("#view canvas")))
}
