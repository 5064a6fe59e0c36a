package job

var insertKinds = []string{"disc magnet", "dowel", "bushing", "drill bushing", "ball bearing", "threaded insert", "own"}

var controlKinds = []string{"plain", "incremental arcs only", "seconds dwell", "milliseconds dwell", "units by G70 and G71"}

var gaugeKinds = []string{"insert", "plug", "pin gauges", "bore gauge", "three-point micrometer", "small-hole gauge", "telescoping gauge", "caliper"}

func fitKeys() []*key {
	return []*key{
		section("fit", func(f *frame) { f.Fit = &Fit{} }, "an insert that is pressed, bonded or slid into a bore of the part"),
		section("fit.insert", nil, "the bought thing", must),
		word("fit.insert.kind", func(f *frame) any { return &f.Fit.Insert.Kind }, "what it is", must, words(insertKinds...), sample("dowel")),
		text("fit.insert.material", func(f *frame) any { return &f.Fit.Insert.Material }, "what it is made of", otherwise("by kind")),
		tolerance("fit.insert.diameter", func(f *frame) any { return &f.Fit.Insert }, "its outside, with its tolerance if that is known: 10 ±0.05 or 6 +0.012/+0.004", sized(0, 300), otherwise("from the designation"), sample("10 ±0.05")),
		yesNo("fit.insert.measured", func(f *frame) any { return &f.Fit.Insert.Measured }, "the diameter is measured on the very piece", standard("false")),
		quantity("fit.insert.height", length, func(f *frame) any { return &f.Fit.Insert.HeightMM }, "its height, along the bore", must, sized(0, 300), sample("12")),
		quantity("fit.insert.inner_diameter", length, func(f *frame) any { return &f.Fit.Insert.InnerDiameterMM }, "its own hole", standard("0 mm"), within(0, 300)),
		text("fit.insert.grade", func(f *frame) any { return &f.Fit.Insert.Grade }, "grade of a magnet, such as N42 or N42SH", otherwise("unknown")),
		text("fit.insert.plating", func(f *frame) any { return &f.Fit.Insert.Plating }, "plating of a magnet", otherwise("unknown")),
		text("fit.insert.designation", func(f *frame) any { return &f.Fit.Insert.Designation }, "its trade size: M6, 6201, 1/4", otherwise("by its diameter")),
		word("fit.insert.load", func(f *frame) any { return &f.Fit.Insert.Load }, "how the load stands to a bearing's outer ring", standard("stationary"), words("stationary", "indeterminate", "rotating")),
		quantity("fit.insert.lead_in", length, func(f *frame) any { return &f.Fit.Insert.LeadInMM }, "chamfer or radius at the insert's edge", within(0, 50), otherwise("by kind")),
		quantity("fit.insert.pilot", length, func(f *frame) any { return &f.Fit.Insert.PilotMM }, "hole that the maker of a threaded insert asks for, on diameter", sized(0, 300), otherwise("unknown")),
		custom("fit.by", readBy, "how it is held: press, bond, a fit such as H7/p6, or a hole class such as N9", standard("press"), sample("press")),
		quantity("fit.must_hold", force, func(f *frame) any { return &f.Fit.MustHoldN }, "push-out force that it must bear", sized(0, 1e6), otherwise("by kind")),
		quantity("fit.gap", length, func(f *frame) any { return gapOf(f) }, "gap for the adhesive, on diameter: smallest, largest", rising, sized(0, 2), otherwise("by the adhesive's usual gap")),
		section("fit.bore", nil, "the hole for it", must),
		quantity("fit.bore.at", length, func(f *frame) any { return &f.Fit.Bore.AtMM }, "its middle in the part's frame: X, Y", standard("[0, 0]"), within(-1000, 1000)),
		quantity("fit.bore.depth", length, func(f *frame) any { return &f.Fit.Bore.DepthMM }, "its depth from the part's top as it then is; needed unless it goes through", sized(0, 300), sample("12")),
		yesNo("fit.bore.through", func(f *frame) any { return &f.Fit.Bore.Through }, "it goes through the part", standard("false")),
		custom("fit.bore.start", readStart, "diameter of the bore before creeping, or how far that is under the insert: 0.3 under", otherwise("0.1 mm under the insert")),
		word("fit.bore.cut_by", func(f *frame) any { return &f.Fit.Bore.CutBy }, "how it is cut", standard("helix"), words("helix", "ream", "boring head")),
		text("fit.bore.tool", func(f *frame) any { return &f.Fit.Bore.Tool }, "name of a tool under `tools`", otherwise("none")),
		quantity("fit.bore.speed", speed, func(f *frame) any { return &f.Fit.Bore.SpeedRPM }, "spindle speed", sized(0, 200_000), otherwise("not said")),
		quantity("fit.bore.feed", feed, func(f *frame) any { return &f.Fit.Bore.FeedMMMin }, "feed at the wall", sized(0, 20_000), otherwise("not said")),
		quantity("fit.bore.pitch", length, func(f *frame) any { return &f.Fit.Bore.PitchMM }, "how far the helix sinks in a turn", sized(0, 20), otherwise("not said")),
		yesNo("fit.bore.program", func(f *frame) any { return &f.Fit.Bore.Program }, "write a program for the bore", standard("false")),
		word("fit.bore.control", func(f *frame) any { return &f.Fit.Bore.Control }, "what the control wants beyond the words that all understand", standard("plain"), words(controlKinds...)),
		quantity("fit.bore.cleared", length, func(f *frame) any { return &f.Fit.Bore.ClearedMM }, "diameter of the middle that is already cleared", standard("0 mm"), within(0, 300)),
		quantity("fit.bore.park", length, func(f *frame) any { return optionalPair(&f.Fit.Bore.ParkMM) }, "where the tool waits while the bore is gauged: X, Y", within(-2000, 2000), otherwise("clear of the jaws")),
		word("fit.bore.work_offset", func(f *frame) any { return &f.Fit.Bore.WorkOffset }, "work offset of the program", standard("G54"), words("G54", "G55", "G56", "G57", "G58", "G59")),
		quantity("fit.bore.lead_in", length, func(f *frame) any { return &f.Fit.Bore.LeadInMM }, "depth of the chamfer at the bore's mouth", standard("0 mm"), within(0, 50)),
		quantity("fit.bore.lead_in_angle", angle, func(f *frame) any { return &f.Fit.Bore.LeadInRad }, "that chamfer's angle to the bore's axis", standard("45 deg"), within(deg(5), deg(80))),
		quantity("fit.bore.floor_relief", length, func(f *frame) any { return &f.Fit.Bore.FloorReliefMM }, "height at the floor that the insert doesn't reach, for the cutter's corner", standard("0 mm"), within(0, 50)),
		quantity("fit.bore.vent", length, func(f *frame) any { return &f.Fit.Bore.VentMM }, "diameter of a hole that lets air out from under the insert", standard("0 mm"), within(0, 50)),
		word("fit.bore.dial_on", func(f *frame) any { return &f.Fit.Bore.DialOn }, "what the boring head's dial reads", standard("diameter"), words("diameter", "radius")),
		word("fit.gauge", func(f *frame) any { return &f.Fit.Gauge.Kind }, "what tells the bore's size, or a section", words(gaugeKinds...), short("kind"), sample("bore gauge")),
		word("fit.gauge.kind", func(f *frame) any { return &f.Fit.Gauge.Kind }, "what tells the bore's size", standard("insert"), words(gaugeKinds...)),
		quantity("fit.gauge.uncertainty", fine, func(f *frame) any { return &f.Fit.Gauge.UncertaintyMM }, "standard uncertainty of one reading", sized(0, 1), otherwise("by kind")),
		quantity("fit.gauge.bias", fine, func(f *frame) any { return &f.Fit.Gauge.BiasMM }, "standard uncertainty of what all its readings share", within(0, 1), otherwise("by kind")),
		quantity("fit.gauge.step", fine, func(f *frame) any { return &f.Fit.Gauge.StepMM }, "step of a set of pin gauges", sized(0, 1), otherwise("by kind")),
		quantity("fit.step", length, func(f *frame) any { return &f.Fit.StepMM }, "largest step from pass to pass, on diameter", standard("1 thou"), sized(0, 2), sample("1 thou")),
		quantity("fit.risk", percent, func(f *frame) any { return &f.Fit.Risk }, "chance of spoiling one part that is taken, over all its passes", standard("2 %"), sized(0, 0.5)),
		quantity("fit.service", temperature, func(f *frame) any { return []*float64{&f.Fit.ServiceLowC, &f.Fit.ServiceHighC} }, "coldest and hottest that the finished part will be", rising, standard("[-10 C, 50 C]"), within(-200, 400)),
		yesNo("fit.lubricated", func(f *frame) any { return &f.Fit.Lubricated }, "it is pressed in oiled", standard("false")),
		quantity("fit.press_force", force, func(f *frame) any { return &f.Fit.MaxPressN }, "largest force that your press gives", sized(0, 1e6), otherwise("9000 N, an arbor press of one ton")),
		quantity("fit.rz_bore", roughness, func(f *frame) any { return &f.Fit.RzBoreUM }, "surface height Rz of the bore", within(0, 200), otherwise("by how it is cut")),
		quantity("fit.rz_insert", roughness, func(f *frame) any { return &f.Fit.RzInsertUM }, "surface height Rz of the insert", within(0, 200), otherwise("by kind")),
		quantity("fit.rz_factor", ratio, func(f *frame) any { return &f.Fit.RzFactor }, "part of both surface heights that the press flattens", standard("0.8"), within(0, 2)),
		quantity("fit.hold_friction", ratio, func(f *frame) any { return []*float64{&f.Fit.HoldFrictionLow, &f.Fit.HoldFrictionHigh} }, "friction that holds it: low, high", rising, sized(0, 1), otherwise("by material")),
		quantity("fit.press_friction", ratio, func(f *frame) any { return []*float64{&f.Fit.PressFrictionLow, &f.Fit.PressFrictionHigh} }, "friction while it is pressed in: low, high", rising, sized(0, 1), otherwise("by material")),
	}
}
