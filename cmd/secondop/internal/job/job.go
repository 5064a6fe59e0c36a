package job

// Job is one job file as read, in mm, N, s, °C, W, rpm, mm/min and rad, with
// every default filled in. Optional sections are nil when the file leaves them
// out; what is missing is not judged.
type Job struct {
	File  string // as the user named it
	Name  string
	Inch  bool // the file's units are inches; output follows
	Part  Part
	Table Table
	Jaws  Jaws
	Clamp *Clamp
	Zero  Zero
	Tools []Tool // in file order
	Cut   *Cut
	Fit   *Fit

	Machine Machine
	// Read lists every key as read or defaulted, in table order, for the sheet.
	Read []Input
	// Cautions are remarks on the file that do not stop it.
	Cautions []Fault

	places map[string]place
}

// Pos is a place in a file. Line and Column count from 1, columns in characters.
type Pos struct {
	File         string
	Line, Column int
}

// Input is one key with the value in force, for the list of inputs as read.
type Input struct {
	Path, Value, Unit, Says string
	Default                 bool
}

// Part is the workpiece as it stands in the jaws, before this operation.
type Part struct {
	Material string
	HeightMM float64
	Outline  Outline
	TurnRad  float64 // counter-clockwise seen from above
	TurnAuto bool    // the tool picks the turn
	// EdgeBreakMM is the part's own broken lower edge, which grips nothing.
	EdgeBreakMM float64
}

// Outline says where the part's outline comes from: exactly one source is set.
type Outline struct {
	Seen   string // "", "this side", "other side"
	Shapes []Shape
	DXF    *DrawingFile
	SVG    *DrawingFile
	STL    *STLFile
}

// Shape is one entry of the shapes list. Lengths in mm, angle in rad.
type Shape struct {
	Cut  bool   // removes instead of joins
	Kind string // circle, rectangle, polygon, slot, polyline

	DiameterMM        float64    // circle
	SizeMM            [2]float64 // rectangle: X, Y
	CornerRadiusMM    float64    // rectangle
	Sides             int        // polygon
	AcrossFlatsMM     float64    // polygon
	LengthMM, WidthMM float64    // slot: overall length, width
	Points            []Vertex   // polyline
	AtMM              [2]float64
	TurnRad           float64
}

// Vertex is a polyline corner; Bulge belongs to the piece that starts there.
type Vertex struct{ XMM, YMM, Bulge float64 }

// DrawingFile is a DXF or SVG outline. Path is relative to the job file.
type DrawingFile struct {
	Path, Layer string
	UnitMM      float64 // mm a drawing unit; 0: as the file says
	GapMM       float64 // largest gap that is closed
}

// STLFile is a part mesh of which the silhouette of a band is taken.
type STLFile struct {
	Path         string
	Up           string // +x -x +y -y +z -z
	FromMM, ToMM float64
	UnitMM       float64 // 0: not said
}

// Table is the machine's table: a grid of tapped holes or a set of T-slots.
type Table struct {
	Grid  *Grid
	Slots *Slots
	// Material of the table under the thread: "aluminium", "steel", "cast iron".
	Material string
}

// Grid is a table of tapped holes. Columns run along X, rows along Y, both
// counted from 1 at the front left.
type Grid struct {
	PitchXMM, PitchYMM float64
	Columns, Rows      int
	Stagger            bool       // every second row is shifted by half a pitch
	FirstHoleMM        [2]float64 // of hole 1,1 from the table's front left corner
	Blocked            [][2]int   // column, row
	Thread             string
	ThreadDepthMM      float64 // 0: unknown
	Through            bool    // the threads are open below
}

// Slots is a table with T-slots.
type Slots struct {
	WidthMM, PitchMM float64
	AlongY           bool // default along X
	Count            int
	Thread           string
}

// Jaws are the printed pair and how they are made.
type Jaws struct {
	Polymer    string
	OwnPolymer *Polymer
	// Printer error per wall, measured with the fit slice: how much an outside
	// comes out larger and an inside comes out smaller.
	PrinterOutsideMM, PrinterInsideMM float64
	Infill                            float64 // 0..1
	Walls                             int
	LineWidthMM                       float64
	BedXMM, BedYMM, BedZMM            float64
	ChordMM                           float64

	GripMM            float64
	Seat              string // table, parallels, plate, print
	SeatHeightMM      float64
	SeatKind          string // ledge or floor, for a printed seat
	ClearanceFixedMM  float64
	ClearanceMovingMM float64
	GapMM             float64
	LeadInMM          float64
	ChipGrooveMM      float64
	CornerReliefMM    float64
	BedChamferMM      float64
	WallMM            float64 // least wall behind the pocket; 0: computed
	PartingMM         *float64
	Finish            string  // printed, cut in place
	SkimMM            float64 // allowance left on the walls, per wall
	Nests             int
	Marks             string // none, sunk, raised
	OneWay            string // none, notch
	Openings          int
	OpeningWidthMM    float64
	PressNest         *PressNest
	SpacerTubes       bool

	Fixed  FixedJaw
	Moving MovingJaw
}

// Polymer is a jaw polymer with the user's own data-sheet values.
type Polymer struct {
	Name                                           string
	DeflectionTemperature045C                      float64
	DeflectionTemperature180C                      float64
	GlassTransitionC                               float64
	Amorphous                                      bool
	DensityKgM3, SpecificHeatJKgK, ConductivityWMK float64
	YoungMPa, StrengthMPa                          float64
}

// PressNest is the block that backs the part while the insert is pressed home.
type PressNest struct {
	HoleMM, ReliefMM    float64
	DishMM, DishDepthMM float64
}

// FixedJaw is bolted down behind the part.
type FixedJaw struct{ Bolts int }

// MovingJaw is pushed by a clamp, or bolted through slots after clamping.
type MovingJaw struct {
	By       string // clamp, bolts
	Bolts    int
	TravelMM float64
	Tongue   bool
}

// Clamp closes the jaws. Exactly one of Kind, ForceN, PullTestN is given
// (Kind with TorqueNm for a screw).
type Clamp struct {
	Kind      string
	ForceN    float64
	PullTestN float64
	Screw     string
	TorqueNm  float64
	ReactsOn  string // jaw, table
	Springy   bool
	HeightMM  float64 // highest point of the clamp above the table, 0: unknown
}

// Zero says what Z zero is.
type Zero struct{ Z string } // seat, top

// Tool is a cutter.
type Tool struct {
	Name                      string
	DiameterMM                float64
	Flutes                    int
	Material                  string // carbide, HSS
	StickoutMM, FluteLengthMM float64
	HelixRad                  float64
	HelixHand                 string // up, down, straight
	CentreCutting             bool
	HolderDiameterMM          float64
	CornerRadiusMM            float64
	RakeRad                   float64
	Worn                      bool
	RunoutMM                  float64
	Number                    int // at the control, 0: not said
}

// Cut is what the mill does to the part in this operation.
type Cut struct {
	AmbientC     float64
	Cabinet      bool
	Cooling      string  // none, air blast, brushed lubricant, mist, flood, own
	FilmWM2K     float64 // own film coefficient; 0: by cooling
	Friction     float64 // 0: by cooling
	ToolChangeS  float64
	PartChangeS  float64 // between two parts of a batch
	Batch        int
	Share        *Band // share of cutting power that enters the part, when calibrated
	ShareFrom    string
	WantedFactor float64
	Operations   []Operation
}

// Band is a low, likely and high estimate of one number.
type Band struct{ Low, Likely, High float64 }

// Operation is one stretch of cutting. Depths count downward from the part's
// top before cutting.
type Operation struct {
	Name, Kind   string // face, pocket, contour, slot, drill, tap, bore, engrave
	Tool         string
	SpeedRPM     float64
	FeedMMMin    float64
	DepthMM      float64 // axial depth a pass
	WidthMM      float64 // radial width
	FromMM, ToMM float64
	RemovesMM3   float64 // 0: computed from kind, outline and depth
	LastsS       float64 // 0: computed from volume and removal rate
	HeatW        float64 // heat that enters the part, given directly
	PowerW       float64 // power of the cut, given directly
	AtMM         *[2]float64
	Conventional bool
}

// Fit is an insert pressed, bonded or slid into a bore of the part.
type Fit struct {
	Insert                              Insert
	By                                  string // press, bond, class
	Class                               string // H7/p6, N9, FN2, when By is class
	MustHoldN                           float64
	GapMM                               *Band // adhesive gap on diameter, low..high
	Bore                                Bore
	Gauge                               Gauge
	StepMM                              float64 // on diameter
	Risk                                float64 // of spoiling one part, 0..1
	ServiceLowC                         float64
	ServiceHighC                        float64
	RzBoreUM, RzInsertUM                float64
	RzFactor                            float64
	HoldFrictionLow, HoldFrictionHigh   float64 // 0: by table
	PressFrictionLow, PressFrictionHigh float64
	Lubricated                          bool
	MaxPressN                           float64 // 0: not said
}

// Insert is the bought thing. Diameters in mm; tolerance as limits.
type Insert struct {
	Kind             string
	Material         string
	DiameterMM       float64
	UpperMM, LowerMM float64 // deviations from DiameterMM
	ToleranceGiven   bool
	Measured         bool
	HeightMM         float64
	InnerDiameterMM  float64
	Grade, Plating   string
	PoleOut          string // of a magnet: north, south, or "" when not said
	Designation      string // trade size: "M6", "6201", "1/4"
	Load             string // bearing: stationary, indeterminate, rotating
	LeadInMM         float64
	PilotMM          float64 // hole that the maker of a threaded insert asks for
}

// Bore is the hole for the insert.
type Bore struct {
	AtMM          [2]float64
	DepthMM       float64
	Through       bool
	StartMM       float64 // diameter before creeping, 0: 0.1 under
	CutBy         string  // helix, ream, boring head
	Tool          string
	SpeedRPM      float64
	FeedMMMin     float64 // at the wall
	PitchMM       float64
	Program       bool
	Control       string  // profile of the control
	ClearedMM     float64 // diameter of the middle already cleared
	ParkMM        *[2]float64
	WorkOffset    string
	LeadInMM      float64 // chamfer at the mouth, axial
	LeadInRad     float64
	FloorReliefMM float64
	VentMM        float64
	DialOn        string // diameter, radius: boring head
}

// Gauge tells the bore's size.
type Gauge struct {
	Kind          string  // insert, plug, pin gauges, bore gauge, caliper, ...
	UncertaintyMM float64 // standard uncertainty, 0: by kind
	BiasMM        float64 // standard uncertainty of its bias
	StepMM        float64 // pin gauge step
}

// Machine is what the mill can do.
type Machine struct {
	Kind         string  // rigid, ordinary, light gantry, own
	ScatterMM    float64 // of repeated finishing passes, on diameter, one standard deviation; 0: by kind
	SpindleW     float64 // 0: not said
	MaxRPM       float64
	ResolutionMM float64 // of the control, per axis
}
