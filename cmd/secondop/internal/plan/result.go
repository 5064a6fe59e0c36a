package plan

// Version is the version of the result's layout. Keys only ever get added
// within one version.
const Version = 1

// Band is a low, likely and high estimate. A nil number means never, or not
// judged.
type Band struct {
	Low    *float64 `json:"low"`
	Likely *float64 `json:"likely"`
	High   *float64 `json:"high"`
}

// Span is a smallest and a largest value.
type Span struct {
	Min float64 `json:"min"`
	Max float64 `json:"max"`
}

// Result is everything one job gives, as written to result.json.
type Result struct {
	Version int      `json:"version"`
	Program string   `json:"program"`
	Job     string   `json:"job"`
	Verdict string   `json:"verdict"` // go, caution, stop
	Reasons []Reason `json:"reasons"`
	// NotJudged names the branches that the job leaves out: grip, heat, fit.
	NotJudged []string      `json:"not_judged,omitempty"`
	Outline   *OutlineBlock `json:"outline"`
	Jaws      *JawsBlock    `json:"jaws"`
	Hold      *HoldBlock    `json:"hold"`
	Heat      *HeatBlock    `json:"heat"`
	Fit       *FitBlock     `json:"fit"`
	Files     []FileEntry   `json:"files,omitempty"`
}

// Reason is one check's verdict in plain words.
type Reason struct {
	Check   string `json:"check"` // jaws, hold, heat, fit, outline, job
	Verdict string `json:"verdict"`
	Says    string `json:"says"`
}

// FileEntry names one file of the folder and its SHA-256.
type FileEntry struct {
	Name   string `json:"name"`
	SHA256 string `json:"sha256"`
	Bytes  int    `json:"bytes"`
}

// OutlineBlock describes the part's outline.
type OutlineBlock struct {
	AreaMM2     float64    `json:"area_mm2"`
	PerimeterMM float64    `json:"perimeter_mm"`
	BoxMM       [4]float64 `json:"box_mm"`
	Loops       int        `json:"loops"`
	TurnsAlike  int        `json:"turns_alike"`
	MirrorLines int        `json:"mirror_lines"`
}

// JawsBlock describes the pair of jaws and where it stands on the table.
type JawsBlock struct {
	Verdict         string        `json:"verdict"`
	Fixed           Piece         `json:"fixed"`
	Moving          Piece         `json:"moving"`
	Parts           []Piece       `json:"parts,omitempty"`
	Bolts           []Bolt        `json:"bolts"`
	Anchor          Hole          `json:"anchor"`
	PartZeroMM      [3]float64    `json:"part_zero_mm"`
	PartZeroDoubtMM float64       `json:"part_zero_doubt_mm"`
	DoubtParts      []DoubtPart   `json:"part_zero_doubt_parts"`
	HeightsMM       Heights       `json:"heights_mm"`
	TurnDeg         float64       `json:"turn_deg"`
	GripMM          float64       `json:"grip_mm"`
	GripNetMM       float64       `json:"grip_net_mm"`
	ClearanceMM     ClearancePair `json:"clearance_mm"`
	GapMM           float64       `json:"gap_mm"`
	ContactDeg      float64       `json:"contact_deg"`
	OneWay          string        `json:"one_way"`
	Nests           []Nest        `json:"nests,omitempty"`
	MassG           float64       `json:"mass_g"`
	PrintMinutes    *Span         `json:"print_minutes,omitempty"`
	LiftMomentNmm   float64       `json:"lift_moment_Nmm"`
	DeflectionMM    float64       `json:"deflection_mm"`
	RootStressMPa   float64       `json:"root_stress_MPa"`
	OpeningAreaMM2  float64       `json:"opening_area_mm2"`
	TurnWhy         string        `json:"turn_why,omitempty"`
	Datum           *Datum        `json:"datum,omitempty"`
	ClampPad        *ClampPad     `json:"clamp_pad,omitempty"`
	Undercut        []Undercut    `json:"undercut,omitempty"`
	Loadings        []Loading     `json:"loadings,omitempty"`
	FixedSlipN      float64       `json:"fixed_slip_N"` // what the fixed jaw's screws hold by friction
	TubeMM          float64       `json:"tube_mm"`      // length of a spacer tube round each screw, 0: none advised
}

// Datum is two faces of the fixed jaw that an edge finder can reach, and the
// stretch of its back to run an indicator along, in the table frame.
type Datum struct {
	LeftXMM     float64 `json:"left_x_mm"`
	BackYMM     float64 `json:"back_y_mm"`
	IndicateXMM Span    `json:"indicate_x_mm"`
	DoubtMM     float64 `json:"doubt_mm"`
}

// ClampPad is where the clamp pushes the moving jaw.
type ClampPad struct {
	XMM      float64 `json:"x_mm"`
	HeightMM float64 `json:"height_mm"` // of its middle, above the table
	WidthMM  float64 `json:"width_mm"`
}

// Undercut is a stretch of the outline that a jaw closing along Y can't touch.
type Undercut struct {
	Jaw      string     `json:"jaw"`
	FromMM   [2]float64 `json:"from_mm"`
	ToMM     [2]float64 `json:"to_mm"`
	LengthMM float64    `json:"length_mm"`
}

// Loading is a wrong way of putting the part in: those that fit, and those that
// come nearest to fitting.
type Loading struct {
	Flipped bool       `json:"flipped"`
	TurnDeg float64    `json:"turn_deg"`
	Fits    bool       `json:"fits"`
	ReachMM float64    `json:"reach_mm"` // past its right place, where the pocket stops it
	AtMM    [2]float64 `json:"at_mm"`    // from part zero
}

// Piece is one printed piece.
type Piece struct {
	File      string     `json:"file"`
	SizeMM    [3]float64 `json:"size_mm"`
	PlaceMM   [3]float64 `json:"place_mm"` // add to the file's coordinates: table frame
	VolumeMM3 float64    `json:"volume_mm3"`
	Triangles int        `json:"triangles"`
	PrintG    float64    `json:"print_g"`
}

// Bolt is one screw into the table.
type Bolt struct {
	Jaw      string  `json:"jaw"`
	Column   int     `json:"column,omitempty"`
	Row      int     `json:"row,omitempty"`
	Slot     int     `json:"slot,omitempty"`
	XMM      float64 `json:"x_mm"`
	YMM      float64 `json:"y_mm"`
	Screw    string  `json:"screw"`
	LengthMM float64 `json:"length_mm"`
	Washer   string  `json:"washer"`
	TorqueNm float64 `json:"torque_Nm"`
	Slotted  bool    `json:"slotted"`
	// SlideMM is how much longer than wide the hole is, along X and Y.
	SlideMM      [2]float64 `json:"slide_mm"`
	EngagementMM float64    `json:"engagement_mm"` // length of thread in mesh
}

// Hole is a table hole by column and row, counted from 1 at the front left.
type Hole struct {
	Column int `json:"column,omitempty"`
	Row    int `json:"row,omitempty"`
}

// DoubtPart is one contribution to the doubt of part zero.
type DoubtPart struct {
	Says string  `json:"says"`
	MM   float64 `json:"mm"`
}

// Heights are measured from the table top.
type Heights struct {
	Seat          float64 `json:"seat"`
	JawTop        float64 `json:"jaw_top"`
	PartTopBefore float64 `json:"part_top_before"`
	PartTopAfter  float64 `json:"part_top_after"`
	Highest       float64 `json:"highest"`
}

// ClearancePair is the clearance per side in each jaw, printer error apart.
type ClearancePair struct {
	Fixed  float64 `json:"fixed"`
	Moving float64 `json:"moving"`
}

// Nest is one of several pockets.
type Nest struct {
	N          int        `json:"n"`
	PartZeroMM [3]float64 `json:"part_zero_mm"`
}

// HoldBlock is the judgement of the grip against the cutter.
type HoldBlock struct {
	Verdict       string             `json:"verdict"`
	HoldingFactor *FactorPair        `json:"holding_factor"`
	Worst         *WorstLoad         `json:"worst"`
	ClampN        *LowLikely         `json:"clamp_N"`
	NeededClampN  float64            `json:"needed_clamp_N"`
	Limits        map[string]float64 `json:"limits"`
	Operations    []HoldOperation    `json:"operations"`
	Advice        []string           `json:"advice"`
	OverTime      []FactorAt         `json:"over_time,omitempty"`
	Friction      float64            `json:"friction"`
	HalfFriction  float64            `json:"half_friction"`  // holding factor of the worst load with half the friction
	TouchingShare float64            `json:"touching_share"` // of the contacts that carries the clamp force
	UndercutMM    float64            `json:"undercut_mm"`
	Closures      []Closure          `json:"closures,omitempty"`
}

// Closure is what holds the part against one motion.
type Closure struct {
	Motion  string  `json:"motion"`
	Unit    string  `json:"unit"` // N, or N·mm for a spin
	TotalN  float64 `json:"total"`
	ShapeN  float64 `json:"shape"`  // by walls and seat, without friction
	CaughtN float64 `json:"caught"` // once the part has moved by its clearance
	By      string  `json:"by"`     // shape, friction, both
}

// FactorPair is the holding factor on the likely peak and on the high estimate.
type FactorPair struct {
	Likely float64 `json:"likely"`
	Low    float64 `json:"low"`
}

// LowLikely is a value with its low end.
type LowLikely struct {
	Low    float64 `json:"low"`
	Likely float64 `json:"likely"`
}

// WorstLoad is the load with the smallest holding factor.
type WorstLoad struct {
	Operation    string  `json:"operation"`
	DirectionDeg float64 `json:"direction_deg"`
	ForceN       float64 `json:"force_N"`
	AxialN       float64 `json:"axial_N"`
	Fails        string  `json:"fails"` // slips, lifts, spins, tips
}

// HoldOperation is one operation's force, power and holding factor.
type HoldOperation struct {
	Name         string  `json:"name"`
	ForceN       Band    `json:"force_N"`
	PowerW       Band    `json:"power_W"`
	Factor       float64 `json:"holding_factor"`
	FactorLow    float64 `json:"holding_factor_low"`
	DirectionDeg float64 `json:"direction_deg"`
}

// FactorAt is the holding factor at a time, as the plastic warms.
type FactorAt struct {
	TimeS  float64 `json:"t_s"`
	Factor float64 `json:"factor"`
}

// HeatBlock is the judgement of the jaws against the heat.
type HeatBlock struct {
	Verdict        string        `json:"verdict"`
	LimitC         float64       `json:"limit_C"`
	CautionC       float64       `json:"caution_C"`
	GoC            float64       `json:"go_C"`
	LimitSays      string        `json:"limit_says"`
	PartC          Band          `json:"part_C"`
	JawFaceC       Band          `json:"jaw_face_C"`
	SecondsToLimit Band          `json:"seconds_to_limit"`
	Share          Band          `json:"share"`
	ShareFrom      string        `json:"share_from"`
	Touch          *Touch        `json:"touch"`
	Schedule       []Stretch     `json:"schedule"`
	ScheduleSays   string        `json:"schedule_says,omitempty"`
	OpeningsSay    string        `json:"openings_say,omitempty"`
	Alternatives   []Alternative `json:"alternatives"`
	Balance        Balance       `json:"balance"`
	Series         []HeatPoint   `json:"series,omitempty"`
	MaxRateMM3S    *float64      `json:"max_rate_mm3_s"`
	PressSays      string        `json:"press_says,omitempty"`
}

// Touch says whether the part is safe to touch, and when it will be.
type Touch struct {
	Says      string   `json:"says"`
	SafeAfter *float64 `json:"safe_after_s"`
}

// Stretch is one piece of the cut and rest schedule.
type Stretch struct {
	Do        string  `json:"do"` // cut, rest, change
	Operation string  `json:"operation,omitempty"`
	FromS     float64 `json:"from_s"`
	LastsS    float64 `json:"lasts_s"`
	JawFaceC  float64 `json:"jaw_face_C"` // high estimate at its end
}

// Alternative is another polymer, cooling, seat or cut and how it would fare.
type Alternative struct {
	Change        string   `json:"change"`
	Verdict       string   `json:"verdict"`
	JawFaceC      float64  `json:"jaw_face_C"` // high estimate
	LimitC        float64  `json:"limit_C"`
	HoldingFactor *float64 `json:"holding_factor"`
	Says          string   `json:"says,omitempty"`
}

// Balance is the energy account of the likely run, in J.
type Balance struct {
	InJ      float64 `json:"in_J"`
	PartJ    float64 `json:"part_J"`
	JawsJ    float64 `json:"jaws_J"`
	LossJ    float64 `json:"loss_J"`
	ChipsJ   float64 `json:"chips_J"`
	RelError float64 `json:"relative_error"`
}

// HeatPoint is one time of the series, at most 10 s apart.
type HeatPoint struct {
	TimeS    float64 `json:"t_s"`
	PartC    Band    `json:"part_C"`
	JawFaceC Band    `json:"jaw_face_C"`
	DeepC    Band    `json:"jaw_2mm_C"`
}

// FitBlock is the judgement of the fit and the plan of bore passes.
type FitBlock struct {
	Verdict        string    `json:"verdict"`
	BoreMM         *Span     `json:"bore_mm"`
	InterferenceUM *Span     `json:"interference_um"`
	PressureMPa    *Span     `json:"pressure_MPa"`
	HubStressMPa   *Span     `json:"hub_stress_MPa"`
	PressInN       *Span     `json:"press_in_N"`
	PushOutN       *Span     `json:"push_out_N"`
	Passes         []PassRow `json:"passes"`
	WallMM         float64   `json:"wall_mm"`
	EffectiveMM    float64   `json:"effective_outer_diameter_mm"`
	PressWith      string    `json:"press_with,omitempty"`
	GaugeSays      string    `json:"gauge_says,omitempty"`
	Feasible       *bool     `json:"feasible"`
	Says           []string  `json:"says"`
	Reamer         string    `json:"reamer,omitempty"`
	DialSays       string    `json:"dial_says,omitempty"`
	MustHoldN      float64   `json:"must_hold_N"`
	NeedUM         float64   `json:"need_um"`      // least interference that holds, on diameter
	AllowUM        float64   `json:"allow_um"`     // largest that neither yields nor asks too much of the press
	MeasureEach    bool      `json:"measure_each"` // the lot scatters too much for one bore
	AirN           float64   `json:"air_N"`        // push of air shut in under the insert
}

// PassRow is one pass of the bore plan. Wall stock is per wall, positive while
// the bore is still smaller than the insert's nominal size.
type PassRow struct {
	N           int     `json:"n"`
	BoreMM      float64 `json:"bore_mm"` // commanded, on diameter
	WallStockMM float64 `json:"wall_stock_mm"`
	ExpectMM    float64 `json:"expect_mm"`
	POver       float64 `json:"p_over"`
	Says        string  `json:"says"`
}
