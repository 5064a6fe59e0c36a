package sheet

import (
	"bytes"
	_ "embed"
	"html/template"
	"io"
	"sync"

	"secondop/cmd/secondop/internal/job"
	"secondop/cmd/secondop/internal/plan"
	"secondop/fixture/mesh"
)

// The 3-D view is view/view.js with three.js, bundled into one file.
//
//go:generate npm ci --prefix view --no-audit --no-fund
//go:generate view/node_modules/.bin/esbuild view/view.js --bundle --minify --legal-comments=none --format=iife --target=es2020 --charset=ascii --outfile=view/view.min.js

var (
	//go:embed page.html
	pageHTML string
	//go:embed style.css
	styleCSS string
	//go:embed view/view.min.js
	viewJS string
	//go:embed view/LICENSE-three.txt
	viewLicence string
)

var pageTemplate = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("sheet").Parse(pageHTML))
})

// Notices is the licence of what the sheet carries beside the program's own
// code: three.js, in the 3-D view.
func Notices() string { return viewLicence }

// sheet is what every part of the page is made from.
type sheet struct {
	plan  *plan.Plan
	r     plan.Result
	u     job.Units
	other job.Units // the system that the job doesn't use
	part  *mesh.Mesh
}

// page is what the template shows, in its order.
type page struct {
	Dense      bool // print smaller: there is more to say than usual
	Style      template.CSS
	Code, Data template.JS
	Licence    string

	Name, Program, Verdict, VerdictSays string
	Doubts, Findings                    []plan.Reason
	Numbers                             []number

	Plan, Section, Heat, Schedule, Factor, Polymers, Window, Template template.HTML
	Lying, PlanSays, SectionSays, LyingSays, WindowSays               template.HTML
	// TemplateLast is set when the 1:1 template leaves no room on its page.
	TemplateLast bool
	ScheduleSays string
	Picture      template.URL

	Steps           []step
	Changes         *table
	Advice, LeftOut []string
	Inputs          []job.Input
	Sources         []source
}

// Write makes the sheet of a plan whose jaws are designed. r is the plan's own
// result.
func Write(w io.Writer, p *plan.Plan, r plan.Result) error {
	s := &sheet{plan: p, r: r, u: p.Job.Units(), other: job.Units{Inch: !p.Job.Inch}}
	var err error
	if s.part, err = s.partMesh(); err != nil {
		return err
	}
	pg, err := s.page()
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := pageTemplate().Execute(&b, pg); err != nil {
		return err
	}
	_, err = w.Write(b.Bytes())
	return err
}
