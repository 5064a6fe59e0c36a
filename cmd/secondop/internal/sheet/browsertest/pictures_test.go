package browsertest

import (
	"bytes"
	"flag"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"sort"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "rewrite the README's pictures of the sheet and the jaws")

// mostPictureBytes is what a picture in the README may weigh.
const mostPictureBytes = 150_000

// The README's pictures come from the example latch-plate:
//
//	go test ./cmd/secondop/internal/sheet/browsertest -run Pictures -update
func TestPicturesOfTheReadme(t *testing.T) {
	dir := filepath.Join(examples, "pictures")
	if *update {
		ctx := browser(t, withWebGL...)
		open(t, ctx, sheetOf(t, "latch-plate/job.yaml", nil), 1180)
		do(t, ctx, chromedp.EmulateViewport(1180, 800))
		writePicture(t, filepath.Join(dir, "sheet.png"), get(t, ctx, chromedp.CaptureScreenshot()))
		do(t, ctx, chromedp.EmulateViewport(860, 800))
		get(t, ctx, chromedp.Evaluate[any](
			`(() => { const s = document.getElementById('view-open'); s.value = 85; s.dispatchEvent(new Event('input', {bubbles: true})); })()`))
		writePicture(t, filepath.Join(dir, "jaws.png"), get(t, ctx, chromedp.Screenshot(chromedp.CSS("#view canvas"))))
	}
	for _, name := range []string{"sheet.png", "jaws.png"} {
		b, err := os.ReadFile(filepath.Join(dir, name))
		require.NoError(t, err, "run this test with -update")
		require.Less(t, len(b), mostPictureBytes, "bytes of %s", name)
		img, err := png.Decode(bytes.NewReader(b))
		require.NoError(t, err)
		require.Greater(t, drawnShare(img), 0.03, "share of %s that is drawn on", name)
	}
}

// writePicture keeps the 256 commonest colours, which is all that flat drawings
// need.
func writePicture(t *testing.T, path string, shot []byte) {
	t.Helper()
	img, err := png.Decode(bytes.NewReader(shot))
	require.NoError(t, err)
	count := map[color.RGBA]int{}
	at := func(x, y int) color.RGBA {
		r, g, b, _ := img.At(x, y).RGBA()
		return color.RGBA{uint8(r >> 8), uint8(g >> 8), uint8(b >> 8), 255}
	}
	box := img.Bounds()
	for y := box.Min.Y; y < box.Max.Y; y++ {
		for x := box.Min.X; x < box.Max.X; x++ {
			count[at(x, y)]++
		}
	}
	var all []color.RGBA
	for c := range count {
		all = append(all, c)
	}
	sort.Slice(all, func(i, j int) bool {
		if count[all[i]] != count[all[j]] {
			return count[all[i]] > count[all[j]]
		}
		a, b := all[i], all[j]
		return int(a.R)<<16|int(a.G)<<8|int(a.B) < int(b.R)<<16|int(b.G)<<8|int(b.B)
	})
	var commonest color.Palette
	for _, c := range all[:min(256, len(all))] {
		commonest = append(commonest, c)
	}
	nearest := map[color.RGBA]uint8{}
	out := image.NewPaletted(box, commonest)
	for y := box.Min.Y; y < box.Max.Y; y++ {
		for x := box.Min.X; x < box.Max.X; x++ {
			c := at(x, y)
			n, ok := nearest[c]
			if !ok {
				n = uint8(commonest.Index(c))
				nearest[c] = n
			}
			out.SetColorIndex(x, y, n)
		}
	}
	require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
	var b bytes.Buffer
	require.NoError(t, (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(&b, out))
	require.NoError(t, os.WriteFile(path, b.Bytes(), 0o644))
}
