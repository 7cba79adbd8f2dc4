package judge

import "loopwitness/commission/site"

// The rows of outputs.
type (
	// CurrentRow holds what an output draws against what was declared.
	CurrentRow struct {
		Output   string `json:"output"`
		Declared string `json:"declared"`
		Measured string `json:"measured"`
	}
	// LevelRow holds the level of a sounder, where it was measured, against the declared one.
	LevelRow struct {
		Output     string    `json:"output"`
		Measured   string    `json:"measured"`
		Level      float64   `json:"level_decibel"`                // without the background
		Background float64   `json:"background_decibel,omitempty"` // that was taken off
		UpperBound bool      `json:"upper_bound,omitempty"`        // too near to its background
		Distance   float64   `json:"distance_metre"`               // where it was measured
		Within     Assumable `json:"distance_uncertainty_metre"`   // how well that is known
		Class      int       `json:"meter_class,omitempty"`        // 0 for none, as a telephone
		Weighting  string    `json:"weighting,omitempty"`          // "" for not stated
		Tolerance  float64   `json:"meter_tolerance_decibel,omitempty"`
		Down       float64   `json:"expanded_down_decibel"` // by how much it may be less, k = 2
		Up         float64   `json:"expanded_up_decibel"`   // and more
		Frequency  string    `json:"frequency,omitempty"`   // as declared
		Declared   string    `json:"declared,omitempty"`
		DeclaredAt string    `json:"declared_at,omitempty"`
		Elsewhere  bool      `json:"elsewhere,omitempty"` // measured at another distance than that
	}
	// MarginRow holds the level of a sounder against the ambient one.
	MarginRow struct {
		Output      string     `json:"output"`
		Measured    string     `json:"measured"`
		Margin      float64    `json:"margin_decibel"`
		Uncertainty float64    `json:"uncertainty_decibel,omitempty"` // 0 for a meter without a class
		Limit       site.Limit `json:"limit_decibel"`
	}
	// CutOffRow holds the time after which an output stopped by itself against the
	// declared one.
	CutOffRow struct {
		Output   string `json:"output"`
		Observed string `json:"observed"`
		Declared string `json:"declared,omitempty"`
		Exceeded bool   `json:"exceeded,omitempty"` // it had not stopped by then
	}
)

// Code names the row.
func (CurrentRow) Code() string { return "current" }
func (LevelRow) Code() string   { return "level" }
func (MarginRow) Code() string  { return "margin" }
func (CutOffRow) Code() string  { return "cut-off" }

// What may be missing of outputs: from the visit, and from the site file.
const (
	LackLevel          LackCode = "level not measured"
	LackAmbient        LackCode = "ambient level not measured"
	LackCutOff         LackCode = "cut-off not observed"
	LackDeclaredLevel  LackCode = "no declared level"
	LackDeclaredCutOff LackCode = "no declared cut-off"
)

// ofOutput tells whether a visit lacks it that tried an output.
func (l LackCode) ofOutput() bool { return l == LackLevel || l == LackAmbient || l == LackCutOff }
