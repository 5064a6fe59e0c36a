package job

import (
	"math"
	"os"
	"reflect"
	"testing"

	"github.com/stretchr/testify/require"
)

func read(t *testing.T, name string) *Job {
	t.Helper()
	src, err := os.ReadFile("testdata/" + name)
	require.NoError(t, err)
	return mustRead(t, name, src)
}

// Every key of everything.yaml, worked out by hand in the units used inside.
func TestEveryKeyGoesWhereItBelongs(t *testing.T) {
	j := read(t, "everything.yaml")
	near := func(want, got any) {
		t.Helper()
		requireNear(t, reflect.ValueOf(want), reflect.ValueOf(got), "")
	}
	require.Equal(t, "bracket of a reading lamp, underside", j.Name)
	near(Part{
		Material: "aluminium 7075-T6", HeightMM: 25.4, EdgeBreakMM: 0.3, TurnAuto: true,
		Outline: Outline{Seen: "other side", Shapes: []Shape{
			{Kind: "circle", DiameterMM: 40},
			{Kind: "rectangle", SizeMM: [2]float64{60, 20}, CornerRadiusMM: 2, AtMM: [2]float64{10, 0}, TurnRad: math.Pi / 12},
			{Kind: "polygon", Sides: 6, AcrossFlatsMM: 30, AtMM: [2]float64{-10, 5}, TurnRad: 0.5},
			{Cut: true, Kind: "slot", LengthMM: 20, WidthMM: 6.35},
			{Kind: "polyline", Points: []Vertex{{0, 0, 0}, {30, 0, 0.4}, {30, 10, 0}, {0, 10, 0}}},
		}},
	}, j.Part)
	near(Table{Material: "cast iron", Grid: &Grid{
		PitchXMM: 50, PitchYMM: 50, Columns: 10, Rows: 6, Stagger: true, FirstHoleMM: [2]float64{20, 30},
		Blocked: [][2]int{{1, 1}, {10, 6}}, Thread: "#8-32", ThreadDepthMM: 12, Through: true,
	}}, j.Table)
	parting := -1.5
	near(Jaws{
		Polymer: "my blend",
		OwnPolymer: &Polymer{
			Name: "my blend", DeflectionTemperature045C: 70, DeflectionTemperature180C: 60, GlassTransitionC: 76.85, Amorphous: true,
			DensityKgM3: 1270, SpecificHeatJKgK: 1300, ConductivityWMK: 0.2, YoungMPa: 2100, StrengthMPa: 34.4738,
		},
		PrinterOutsideMM: 0.04, PrinterInsideMM: 0.1016, Infill: 0.6, Walls: 5, LineWidthMM: 0.42,
		BedXMM: 200, BedYMM: 200, BedZMM: 203.2, ChordMM: 0.004,
		GripMM: 15, Seat: "print", SeatHeightMM: 6, SeatKind: "floor", ClearanceFixedMM: 0.06, ClearanceMovingMM: 0.2,
		GapMM: 3, LeadInMM: 1.5, ChipGrooveMM: 0.8, CornerReliefMM: 1, BedChamferMM: 0.5, WallMM: 14, PartingMM: &parting,
		Finish: "cut in place", SkimMM: 0.4, Nests: 2, Marks: "raised", OneWay: "notch", Openings: 3, OpeningWidthMM: 7,
		PressNest: &PressNest{HoleMM: 12, ReliefMM: 0.6, DishMM: 20, DishDepthMM: 2}, SpacerTubes: true,
		Fixed: FixedJaw{Bolts: 3}, Moving: MovingJaw{By: "bolts", Bolts: 2, TravelMM: 8, Tongue: true},
	}, j.Jaws)
	near(&Clamp{Kind: "screw", Screw: "M8x1.25", TorqueNm: 4.51939, ReactsOn: "jaw", Springy: true, HeightMM: 40}, j.Clamp)
	near(Zero{Z: "top"}, j.Zero)
	near([]Tool{
		{
			Name: "6 mm", DiameterMM: 6, Flutes: 3, Material: "HSS", StickoutMM: 22, FluteLengthMM: 18, HelixRad: math.Pi / 4, HelixHand: "down",
			CentreCutting: true, HolderDiameterMM: 30, CornerRadiusMM: 0.2, RakeRad: 8 * math.Pi / 180, Worn: true, RunoutMM: 0.02, Number: 7,
		},
		{Name: "1/4 drill", DiameterMM: 6.35, Flutes: 2, Material: "carbide", HelixRad: math.Pi / 6, HelixHand: "up", RunoutMM: 0.01},
	}, j.Tools)
	at := [2]float64{5, 5}
	near(&Cut{
		AmbientC: 200.0 / 9, Cabinet: true, Cooling: "own", FilmWM2K: 40, Friction: 0.12, ToolChangeS: 90, PartChangeS: 120, Batch: 4,
		Share: &Band{0.15, 0.25, 0.4}, ShareFrom: "two readings on a test block", WantedFactor: 3,
		Operations: []Operation{
			{Name: "rough", Kind: "pocket", Tool: "6 mm", SpeedRPM: 9000, FeedMMMin: 762, DepthMM: 1, WidthMM: 0.9, FromMM: 0.5, ToMM: 4, RemovesMM3: 1200, LastsS: 90, AtMM: &at, Conventional: true},
			{Name: "drill 2", Kind: "drill", Tool: "1/4 drill", SpeedRPM: 3000, FeedMMMin: 120, ToMM: 25.4},
			{Name: "known power", PowerW: 74.569987, LastsS: 3600},
		},
	}, j.Cut)
	park := [2]float64{0, 120}
	near(&Fit{
		Insert: Insert{
			Kind: "disc magnet", Material: "NdFeB", DiameterMM: 12, UpperMM: 0, LowerMM: -0.1, ToleranceGiven: true, HeightMM: 4, InnerDiameterMM: 3,
			Grade: "N42", PoleOut: "north", Plating: "nickel", Designation: "12 x 4", Load: "rotating", LeadInMM: 0.3, PilotMM: 11.9,
		},
		By: "bond", MustHoldN: 29.41995, GapMM: &Band{0.05, 0.1, 0.15},
		Bore: Bore{
			AtMM: [2]float64{10, -4}, DepthMM: 4.2, StartMM: 11.7, CutBy: "helix", Tool: "6 mm", SpeedRPM: 9000, FeedMMMin: 400, PitchMM: 0.3,
			Program: true, Control: "seconds dwell", ClearedMM: 4, ParkMM: &park, WorkOffset: "G55", LeadInMM: 0.4, LeadInRad: math.Pi / 6, FloorReliefMM: 0.2, VentMM: 2, DialOn: "radius",
		},
		Gauge:  Gauge{Kind: "pin gauges", UncertaintyMM: 0.003, BiasMM: 0.002, StepMM: 0.01},
		StepMM: 0.02, Risk: 0.05, ServiceLowC: -20, ServiceHighC: 60, Lubricated: true, MaxPressN: 2000,
		RzBoreUM: 6.3, RzInsertUM: 3.175, RzFactor: 0.4, HoldFrictionLow: 0.08, HoldFrictionHigh: 0.16, PressFrictionLow: 0.1, PressFrictionHigh: 0.2,
	}, j.Fit)
	near(Machine{Kind: "light gantry", ScatterMM: 0.012, SpindleW: 300, MaxRPM: 24000, ResolutionMM: 0.005}, j.Machine)
}

// requireNear compares structs field by field, numbers to 1e-6 of their size.
func requireNear(t *testing.T, want, got reflect.Value, path string) {
	t.Helper()
	switch want.Kind() {
	case reflect.Pointer:
		require.Equal(t, want.IsNil(), got.IsNil(), path)
		if !want.IsNil() {
			requireNear(t, want.Elem(), got.Elem(), path)
		}
	case reflect.Struct:
		for i := range want.NumField() {
			requireNear(t, want.Field(i), got.Field(i), path+"."+want.Type().Field(i).Name)
		}
	case reflect.Slice, reflect.Array:
		require.Equal(t, want.Len(), got.Len(), path)
		for i := range want.Len() {
			requireNear(t, want.Index(i), got.Index(i), path)
		}
	case reflect.Float64:
		require.InDelta(t, want.Float(), got.Float(), 1e-6*math.Max(1, math.Abs(want.Float())), path)
	default:
		require.Equal(t, want.Interface(), got.Interface(), path)
	}
}

func TestTheDefaultsAreThoseOfTheTable(t *testing.T) {
	j := read(t, "base.yaml")
	require.Equal(t, 0.05, j.Jaws.ClearanceFixedMM)
	require.Equal(t, 0.15, j.Jaws.ClearanceMovingMM)
	require.Equal(t, 25.0, j.Cut.AmbientC)
	require.Equal(t, 0.0254, j.Fit.StepMM)
	require.Equal(t, 10.0, j.Jaws.SeatHeightMM)
	require.Equal(t, "jaw", j.Clamp.ReactsOn)
	require.Equal(t, [2]float64{12.5, 12.5}, j.Table.Grid.FirstHoleMM)
	require.Equal(t, 45*math.Pi/180, j.Fit.Bore.LeadInRad)
	require.Equal(t, "insert", j.Fit.Gauge.Kind)
	listed := map[string]Input{}
	for _, in := range j.Read {
		require.NotContains(t, listed, in.Path, "listed twice")
		require.NotEmpty(t, in.Value, in.Path)
		require.NotEmpty(t, in.Says, in.Path)
		listed[in.Path] = in
		_, given := j.At(in.Path)
		require.NotEqual(t, given, in.Default, "%s: At says %v, the list says default %v", in.Path, given, in.Default)
	}
	require.Equal(t, Input{"jaws.gap", "2", "mm", "between the jaws' faces when they are closed on the part", true}, listed["jaws.gap"])
}

// The same part told in inches and in millimetres is the same job to the last
// bit: units are converted exactly and rounded once.
func TestAJobInInchesIsTheSameAsInMillimetres(t *testing.T) {
	inch, mm := read(t, "inch.yaml"), read(t, "inch-in-mm.yaml")
	require.True(t, inch.Inch)
	require.False(t, mm.Inch)
	for _, j := range []*Job{inch, mm} {
		j.File, j.Inch, j.Read, j.places = "", false, nil, nil
	}
	require.Equal(t, mm, inch)
}
