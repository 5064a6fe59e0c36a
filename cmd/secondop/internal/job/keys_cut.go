package job

func toolKeys() []*key {
	return []*key{
		named("tools", func(f *frame, n int) { f.Tools = make([]Tool, n) },
			func(f *frame, i int, name string) { f.tool = &f.Tools[i]; f.tool.Name = name }, "cutters, each under a name of your own"),
		quantity("tools{}.diameter", length, func(f *frame) any { return &f.tool.DiameterMM }, "cutting diameter", must, sized(0, 200), sample("6")),
		whole("tools{}.flutes", func(f *frame) any { return &f.tool.Flutes }, "number of cutting edges", must, within(1, 30), sample("2")),
		word("tools{}.material", func(f *frame) any { return &f.tool.Material }, "what the tool is made of", standard("carbide"), words("carbide", "HSS")),
		quantity("tools{}.stickout", length, func(f *frame) any { return &f.tool.StickoutMM }, "from the holder's face to the tip", sized(0, 300), otherwise("unknown: 3 diameters are taken")),
		quantity("tools{}.flute_length", length, func(f *frame) any { return &f.tool.FluteLengthMM }, "length of the cutting edges along the tool", sized(0, 300), otherwise("unknown: not checked")),
		quantity("tools{}.helix", angle, func(f *frame) any { return &f.tool.HelixRad }, "helix angle of the flutes", standard("30 deg"), within(0, deg(70))),
		word("tools{}.helix_hand", func(f *frame) any { return &f.tool.HelixHand }, "which way the flutes pull the part", standard("up"), words("up", "down", "straight")),
		yesNo("tools{}.centre_cutting", func(f *frame) any { return &f.tool.CentreCutting }, "the end cuts to its middle, so that the tool may plunge", standard("false")),
		quantity("tools{}.holder", length, func(f *frame) any { return &f.tool.HolderDiameterMM }, "diameter of the holder or its nut", sized(0, 200), otherwise("unknown: not checked")),
		quantity("tools{}.corner_radius", length, func(f *frame) any { return &f.tool.CornerRadiusMM }, "radius at the tip's corner", standard("0 mm"), within(0, 50)),
		quantity("tools{}.rake", angle, func(f *frame) any { return &f.tool.RakeRad }, "rake angle of the edges", standard("0 deg"), within(deg(-30), deg(45))),
		yesNo("tools{}.worn", func(f *frame) any { return &f.tool.Worn }, "the edges are no longer sharp", standard("false")),
		quantity("tools{}.runout", length, func(f *frame) any { return &f.tool.RunoutMM }, "how far the tip runs out, total indicator reading", standard("0.01 mm"), within(0, 1)),
		whole("tools{}.number", func(f *frame) any { return &f.tool.Number }, "its number at the control, for one that applies tool lengths", within(1, 999), otherwise("not said")),
	}
}

var operationKinds = []string{"face", "pocket", "contour", "slot", "drill", "tap", "bore", "engrave"}

func cutKeys() []*key {
	return []*key{
		section("cut", func(f *frame) { f.Cut = &Cut{} }, "what the mill does to the part in this operation"),
		quantity("cut.ambient", temperature, func(f *frame) any { return &f.Cut.AmbientC }, "temperature of the shop", standard("25 C"), within(-20, 60), sample("25 C")),
		yesNo("cut.cabinet", func(f *frame) any { return &f.Cut.Cabinet }, "the mill stands in a closed cabinet, which gets warmer than the shop", standard("false")),
		word("cut.cooling", func(f *frame) any { return &f.Cut.Cooling }, "what cools the part while it is cut; or {film: 8 W/m2K}", standard("none"), words("none", "air blast", "brushed lubricant", "mist", "flood"), sample("air blast")),
		quantity("cut.cooling.film", film, func(f *frame) any { return &f.Cut.FilmWM2K }, "film coefficient on the part's free faces", must, sized(0, 20_000)),
		quantity("cut.friction", ratio, func(f *frame) any { return &f.Cut.Friction }, "friction of the part in the jaws", sized(0, 1), otherwise("by cooling: dry or wet")),
		quantity("cut.tool_change", duration, func(f *frame) any { return &f.Cut.ToolChangeS }, "pause for a tool change", standard("60 s"), within(0, 3600)),
		quantity("cut.part_change", duration, func(f *frame) any { return &f.Cut.PartChangeS }, "pause while one part of a batch is swapped for the next", standard("60 s"), within(0, 86_400)),
		whole("cut.batch", func(f *frame) any { return &f.Cut.Batch }, "parts cut one after another in the same jaws", standard("1"), within(1, 1000)),
		quantity("cut.share", percent, func(f *frame) any { return shareOf(f) }, "share of cutting power that enters the part: low, likely, high", rising, within(0, 1), otherwise("from calibration, else worked out")),
		text("cut.share_from", func(f *frame) any { return &f.Cut.ShareFrom }, "where that share comes from", otherwise("not said")),
		quantity("cut.wanted_factor", ratio, func(f *frame) any { return &f.Cut.WantedFactor }, "holding factor for which the clamp force needed is worked out", standard("2.5"), within(1, 20)),
		list("cut.operations", func(f *frame, n int) { f.Cut.Operations = make([]Operation, n) },
			func(f *frame, i int, _ string) { f.op = &f.Cut.Operations[i] }, "stretches of cutting, in turn", must),
		text("cut.operations[].name", func(f *frame) any { return &f.op.Name }, "what it is called", otherwise("its kind and number")),
		word("cut.operations[].kind", func(f *frame) any { return &f.op.Kind }, "what is done; needed unless heat or power is given", words(operationKinds...)),
		text("cut.operations[].tool", func(f *frame) any { return &f.op.Tool }, "name of a tool under `tools`"),
		quantity("cut.operations[].speed", speed, func(f *frame) any { return &f.op.SpeedRPM }, "spindle speed", sized(0, 200_000)),
		quantity("cut.operations[].feed", feed, func(f *frame) any { return &f.op.FeedMMMin }, "feed along the path", sized(0, 50_000)),
		quantity("cut.operations[].depth", length, func(f *frame) any { return &f.op.DepthMM }, "axial depth of each pass", sized(0, 200)),
		custom("cut.operations[].width", readWidth, "radial width of cut, a length or a percentage of the tool: 15 %"),
		quantity("cut.operations[].from", length, func(f *frame) any { return &f.op.FromMM }, "where it starts, below the part's top before cutting", standard("0 mm"), within(0, 500)),
		quantity("cut.operations[].to", length, func(f *frame) any { return &f.op.ToMM }, "where it ends, below the part's top before cutting", sized(0, 500)),
		quantity("cut.operations[].removes", volume, func(f *frame) any { return &f.op.RemovesMM3 }, "metal removed", sized(0, 1e8), otherwise("worked out from kind, outline and depth")),
		quantity("cut.operations[].lasts", duration, func(f *frame) any { return &f.op.LastsS }, "time in the cut", sized(0, 360_000), otherwise("worked out from the metal removed")),
		quantity("cut.operations[].heat", power, func(f *frame) any { return &f.op.HeatW }, "heat that enters the part, when it is known", sized(0, 10_000)),
		quantity("cut.operations[].power", power, func(f *frame) any { return &f.op.PowerW }, "power that the cut takes, when it is known", sized(0, 50_000)),
		quantity("cut.operations[].at", length, func(f *frame) any { return optionalPair(&f.op.AtMM) }, "where on the part: X, Y", within(-1000, 1000), otherwise("at the worst place in the outline")),
		yesNo("cut.operations[].conventional", func(f *frame) any { return &f.op.Conventional }, "cut against the feed instead of climbing", standard("false")),
	}
}
