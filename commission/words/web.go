package words

// What a page of text says of itself: the contents of a certificate for those who cannot see its pages.

// WebLabel is what a part of such a page is called.
type WebLabel string

// The labels.
const (
	WebDangers    WebLabel = "dangers"
	WebAbout      WebLabel = "about"
	WebResult     WebLabel = "result"
	WebContents   WebLabel = "contents"
	WebSkip       WebLabel = "skip"
	WebSkipList   WebLabel = "skip-list"
	WebNumber     WebLabel = "number"
	WebVisit      WebLabel = "visit"
	WebJournal    WebLabel = "journal"
	WebCheck      WebLabel = "check"
	WebInstaller  WebLabel = "installer"
	WebLimit      WebLabel = "limit"
	WebLine       WebLabel = "line"
	WebWithin     WebLabel = "within"
	WebMark       WebLabel = "mark"
	WebName       WebLabel = "name"
	WebChange     WebLabel = "change"
	WebCode       WebLabel = "code"
	WebForThose   WebLabel = "for-those"
	WebIntact     WebLabel = "intact"
	WebFails      WebLabel = "fails"
	WebUnchecked  WebLabel = "unchecked"
	WebOfFile     WebLabel = "of-file"
	WebOfVisit    WebLabel = "of-visit"
	WebFailsFirst WebLabel = "fails-first"
	WebOnPages    WebLabel = "on-pages"
	WebWho        WebLabel = "who"
	WebLegend     WebLabel = "legend"
	WebNo         WebLabel = "no"
	WebGrade      WebLabel = "grade"
	WebWhat       WebLabel = "what"
	WebWhen       WebLabel = "when"
	WebValue      WebLabel = "value"
	WebVerdict    WebLabel = "verdict"
)

// WebHeading is the heading of a page: of a certificate, else of a visit, with its number.
type WebHeading struct {
	Number    string
	Certified bool
}

// WebCaption names table N, from 1, of several in a section.
type WebCaption struct {
	Title   string
	N, Many int
}

// WebValues names the table of a chart's values, by what is on its axes.
type WebValues struct{ Of, Over string }

// WebSpan is a range of an axis: that of an area of a chart.
type WebSpan struct{ From, To float64 }

// WebDrawn stands for a signature that Name drew, Picture for one that was supplied as a picture.
type WebDrawn struct {
	Name    string
	Picture bool
}

// WebPhotograph stands for a photograph where it cannot be seen.
type WebPhotograph struct{ Title string }

// Code names each.
func (w WebLabel) Code() string    { return "web/" + string(w) }
func (WebHeading) Code() string    { return "web/heading" }
func (WebCaption) Code() string    { return "web/caption" }
func (WebValues) Code() string     { return "web/values" }
func (WebSpan) Code() string       { return "web/span" }
func (WebDrawn) Code() string      { return "web/drawn" }
func (WebPhotograph) Code() string { return "web/photograph" }
