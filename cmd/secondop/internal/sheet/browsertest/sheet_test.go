package browsertest

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/png"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/require"
)

var every = []string{
	"latch-plate/job.yaml", "pen-foot/job.yaml", "ring-tray/job.yaml", "ring-tray/as-advised.yaml",
	"drawer-pull/job.yaml", "stepped-foot/job.yaml",
}

// overflow names elements that reach past the right edge of the window.
const overflow = `(() => {
  const wide = document.documentElement.clientWidth;
  const out = [];
  if (document.documentElement.scrollWidth > wide) out.push('the page is ' + document.documentElement.scrollWidth + ' px wide');
  for (const e of document.body.querySelectorAll('*:not(svg *)')) {
    const r = e.getBoundingClientRect();
    if (r.width && (r.right > wide + 0.5 || r.left < -0.5) && !e.closest('thead')) out.push(e.tagName + '.' + e.className + ' to ' + Math.round(r.right));
  }
  for (const e of document.querySelectorAll('svg text')) {
    const r = e.getBoundingClientRect();
    if (r.right > wide + 0.5 || r.left < -0.5) out.push('drawing text "' + e.textContent + '" to ' + Math.round(r.right));
  }
  return out;
})()`

func TestNothingLeavesTheSheetAndNothingOverflows(t *testing.T) {
	ctx := browser(t, withWebGL...)
	for _, name := range every {
		t.Run(name, func(t *testing.T) {
			address := sheetOf(t, name, nil)
			tab, stop := chromedp.NewContext(ctx)
			defer stop()
			w := watch(t, tab)
			open(t, tab, address, 1280)
			for _, wide := range []int64{320, 768, 1280} {
				do(t, tab, chromedp.EmulateViewport(wide, 800))
				require.Emptyf(t, get(t, tab, chromedp.Evaluate[[]string](overflow)), "at %d px", wide)
			}
			w.check(t, address)
		})
	}
}

// shot is what one element shows.
func shot(t *testing.T, ctx context.Context, of chromedp.CSS) image.Image {
	t.Helper()
	img, err := png.Decode(bytes.NewReader(get(t, ctx, chromedp.Screenshot(of))))
	require.NoError(t, err)
	return img
}

// differing is the share of pixels in which two pictures of one size differ.
func differing(a, b image.Image) float64 {
	n, d := 0, 0
	for y := a.Bounds().Min.Y; y < a.Bounds().Max.Y; y++ {
		for x := a.Bounds().Min.X; x < a.Bounds().Max.X; x++ {
			n++
			if a.At(x, y) != b.At(x, y) {
				d++
			}
		}
	}
	return float64(d) / float64(n)
}

// drawnShare is the share of pixels that are not the background.
func drawnShare(a image.Image) float64 {
	n, d := 0, 0
	paper := a.At(a.Bounds().Min.X+3, a.Bounds().Min.Y+3)
	for y := a.Bounds().Min.Y; y < a.Bounds().Max.Y; y++ {
		for x := a.Bounds().Min.X; x < a.Bounds().Max.X; x++ {
			n++
			if a.At(x, y) != paper {
				d++
			}
		}
	}
	return float64(d) / float64(n)
}

func attribute(t *testing.T, ctx context.Context, name string) string {
	t.Helper()
	return get(t, ctx, chromedp.Evaluate[string](`document.getElementById('view').dataset.`+name))
}

func TestTheViewDrawsOpensClosesAndTurns(t *testing.T) {
	ctx := browser(t, withWebGL...)
	open(t, ctx, sheetOf(t, "latch-plate/job.yaml", nil), 1000)
	require.Equal(t, "view", attribute(t, ctx, "state"))
	closed := shot(t, ctx, "#view canvas")
	require.Greater(t, drawnShare(closed), 0.15, "share of the view that is drawn on")

	slide := func(to int) {
		get(t, ctx, chromedp.Evaluate[any](fmt.Sprintf(
			`(() => { const s = document.getElementById('view-open'); s.value = %d; s.dispatchEvent(new Event('input', {bubbles: true})); })()`, to)))
	}
	slide(100)
	require.Equal(t, "1", attribute(t, ctx, "open"))
	opened := shot(t, ctx, "#view canvas")
	require.Greater(t, differing(closed, opened), 0.02, "share of the view that opening changes")
	slide(0)
	require.Equal(t, "0", attribute(t, ctx, "open"))
	require.Less(t, differing(closed, shot(t, ctx, "#view canvas")), 0.001, "closed again, it looks as before")

	canvas := chromedp.CSS("#view canvas")
	do(t, ctx, chromedp.Focus(canvas), chromedp.KeyEvent(kb.ArrowLeft), chromedp.KeyEvent(kb.ArrowLeft), chromedp.Blur(canvas))
	require.Greater(t, differing(closed, shot(t, ctx, canvas)), 0.02, "share of the view that a key changes")
	do(t, ctx, chromedp.Focus(canvas), chromedp.KeyEvent(kb.Home), chromedp.Blur(canvas))
	require.Less(t, differing(closed, shot(t, ctx, canvas)), 0.001, "Home starts over")
}

// Without WebGL the drawn picture stays.
func TestWithoutWebGLTheDrawnPictureShows(t *testing.T) {
	ctx := browser(t, chromedp.Flag("disable-3d-apis", true))
	do(t, ctx, chromedp.Navigate(sheetOf(t, "stepped-foot/job.yaml", nil)), chromedp.WaitVisible(chromedp.CSS("#view img")))
	require.Equal(t, "picture", attribute(t, ctx, "state"))
	require.Zero(t, get(t, ctx, chromedp.Evaluate[int](`document.querySelectorAll('#view canvas').length`)))
	require.Greater(t, drawnShare(shot(t, ctx, "#view img")), 0.15, "share of the picture that is drawn on")
}

// crowded gives the latch plate more operations, passes, screws and sizes.
func crowded(text string) string {
	more := ""
	for i := range 6 {
		more += fmt.Sprintf("    - {name: another pocket %d, kind: pocket, tool: 6 mm end mill, speed: 10000 rpm, feed: 500, depth: 0.5, width: 3, from: 0.4, to: 2, removes: 200 mm3}\n", i)
	}
	text = strings.Replace(text, "\nfit:", more+"\nfit:", 1)
	text = strings.Replace(text, "moving: {by: clamp}", "moving: {by: bolts, bolts: 2}", 1)
	return strings.Replace(text, "start: 11.8", "start: 11.6", 1)
}

var pdfPage = regexp.MustCompile(`/Type\s*/Page[^s]`)

func TestItPrintsOnAtMostFourPages(t *testing.T) {
	ctx := browser(t)
	sheets := map[string]string{}
	for _, name := range every {
		sheets[name] = sheetOf(t, name, nil)
	}
	sheets["a job with more to say"] = sheetOf(t, "latch-plate/job.yaml", crowded)
	for name, address := range sheets {
		do(t, ctx, chromedp.Navigate(address))
		for paper, size := range map[string]chromedp.PaperSize{"A4": {Width: 210 / 25.4, Height: 297 / 25.4}, "Letter": {Width: 8.5, Height: 11}} {
			pdf := get(t, ctx, chromedp.PrintToPDF(chromedp.PDFPaper(size), chromedp.PDFPrintBackground()))
			n := len(pdfPage.FindAll(pdf, -1))
			require.Positive(t, n, "pages found in the PDF")
			require.LessOrEqualf(t, n, 4, "pages of %s on %s", name, paper)
		}
	}
}

// The check bars of the template are as long as they say.
func TestTheTemplateIsInTrueSizeOnPaper(t *testing.T) {
	ctx := browser(t)
	media(t, ctx, emulation.SetEmulatedMediaParams{Media: "print"})
	do(t, ctx, chromedp.EmulateViewport(703, 1000), chromedp.Navigate(sheetOf(t, "latch-plate/job.yaml", nil)))
	bars := get(t, ctx, chromedp.Evaluate[[]float64](
		`[...document.querySelectorAll('svg.true path.axis')].map(p => p.getBoundingClientRect().width * 25.4 / 96).filter(w => w > 5)`))
	require.Len(t, bars, 2)
	require.InDelta(t, 50.0, bars[0], 0.3, "mm")
	require.InDelta(t, 50.8, bars[1], 0.3, "mm")
}

func TestAHostileNameIsText(t *testing.T) {
	const hostile = `<img src=x onerror=alert(1)></h1><script>document.title='owned'</script>`
	ctx := browser(t)
	address := sheetOf(t, "latch-plate/job.yaml", func(text string) string {
		return strings.Replace(text, "name: latch plate, back side", "name: \""+hostile+"\"", 1)
	})
	do(t, ctx, chromedp.Navigate(address))
	require.Equal(t, hostile, get(t, ctx, chromedp.TextContent(chromedp.CSS("h1"))))
	require.Contains(t, get(t, ctx, chromedp.Title()), hostile)
	require.Zero(t, get(t, ctx, chromedp.Evaluate[int](`document.querySelectorAll('img:not(#view img)').length`)), "pictures that the name brought in")
}

// Text stands out from its ground by at least 4.5 to 1 (WCAG 2.1, 1.4.3), in
// light and dark.
func TestContrast(t *testing.T) {
	ctx := browser(t)
	address := sheetOf(t, "ring-tray/job.yaml", nil)
	for _, scheme := range []string{"light", "dark"} {
		media(t, ctx, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}})
		do(t, ctx, chromedp.Navigate(address))
		worst := get(t, ctx, chromedp.Evaluate[[]any](contrast))
		require.GreaterOrEqualf(t, worst[0].(float64), 4.5, "contrast of %v in %s", worst[1], scheme)
	}
}

// contrast is the least contrast of any text with the nearest ground that is
// painted behind it; texts of drawings stand on jaws, pockets and paper.
const contrast = `(() => {
  const rgb = (s) => (s.match(/[\d.]+/g) || []).map(Number);
  const lum = (c) => { const f = c.slice(0, 3).map(v => { v /= 255; return v <= 0.03928 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; }); return 0.2126 * f[0] + 0.7152 * f[1] + 0.0722 * f[2]; };
  const ratio = (a, b) => { const [x, y] = [lum(a), lum(b)].sort((m, n) => n - m); return (x + 0.05) / (y + 0.05); };
  const ground = (e) => { for (; e; e = e.parentElement) { const c = rgb(getComputedStyle(e).backgroundColor); if (c.length === 3 || c[3] > 0) return c; } return [255, 255, 255]; };
  const grounds = [...document.querySelectorAll('svg .jaw, svg .pocket')].map(e => rgb(getComputedStyle(e).fill));
  let worst = [99, ''];
  const see = (a, b, what) => { const r = ratio(a, b); if (r < worst[0]) worst = [r, what]; };
  for (const e of document.body.querySelectorAll('p,li,dd,dt,td,th,b,i,code,h1,h2,h3,span,strong,figcaption,label')) {
    if (e.textContent.trim() && e.getClientRects().length) see(rgb(getComputedStyle(e).color), ground(e), e.tagName + ' ' + e.textContent.slice(0, 40));
  }
  for (const e of document.querySelectorAll('svg text')) {
    const ink = rgb(getComputedStyle(e).fill);
    for (const g of grounds.concat([ground(e)])) see(ink, g, 'drawing text ' + e.textContent);
  }
  return worst;
})()`
