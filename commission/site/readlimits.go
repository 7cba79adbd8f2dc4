package site

import (
	"fmt"
	"time"

	"go.yaml.in/yaml/v3"

	"loopwitness/checks"
)

// limits reads what the file declares in place of the defaults.
func (r *reader) limits(top section) {
	l := &r.site.Limits
	f := r.section(top, "limits")
	by, source := Named, f.Text("source")
	l.Source = source
	if source == "" {
		by = SiteFile
	}
	for key, to := range l.single() {
		if q := r.quantity(f, key); q.Given() {
			*to = Limit{q.SI, by, source}
		}
	}
	for key, to := range map[string]map[DetectorKind]Limit{"response": l.Response, "listen_for": l.ListenFor,
		"restore": l.Restore} {
		r.limitsOfKinds(f, key, func(kind DetectorKind, q checks.Quantity) { to[kind] = Limit{q.SI, by, source} })
	}
	for _, kind := range Kinds {
		if k := DetectorKind(kind); l.ListenFor[k].SI < l.Response[k].SI && !r.longerThanResponse(f, k) {
			break // told once
		}
	}
	if l.MainsLower.Declared() && l.MainsUpper.Declared() && l.MainsLower.SI > l.MainsUpper.SI {
		r.Problem(f.Where("mains_lower"), "mains_lower lies above mains_upper", "")
	}
}

// longerThanResponse lets listening last as long as the response may take, unless the
// file says both.
func (r *reader) longerThanResponse(f section, k DetectorKind) bool {
	l := &r.site.Limits
	switch {
	case !l.ListenFor[k].Declared():
		l.ListenFor[k] = l.Response[k]
	case !l.Response[k].Declared():
		l.Response[k] = Limit{SI: l.ListenFor[k].SI, By: CommonPractice}
	default:
		r.Problem(f.Where("listen_for"), "a detector would be called silent before its response limit has passed",
			"listen_for must not be shorter than response")
		return false
	}
	return true
}

// limitsOfKinds reads a time for all kinds that have no time of their own, or one for
// each kind.
func (r *reader) limitsOfKinds(f section, key string, set func(DetectorKind, checks.Quantity)) {
	n := f.Node(key)
	if n == nil {
		return
	}
	if n.Kind == yaml.ScalarNode && key != "restore" {
		q := r.time(n, key, r.Scalar(n, key))
		for kind, trait := range traits {
			if q.Given() && !trait.Slow {
				set(kind, q)
			}
		}
		return
	}
	each := r.Fields(n, key, Kinds...)
	for _, kind := range Kinds {
		if each.Has(kind) {
			if q := r.time(each.Node(kind), key+" of "+kind, each.Text(kind)); q.Given() {
				set(DetectorKind(kind), q)
			}
		}
	}
}

// shortestLimit and longestLimit bound what may be set.
const (
	shortestLimit = 100 * time.Millisecond
	longestLimit  = time.Hour
)

func (r *reader) time(n *yaml.Node, what, text string) checks.Quantity {
	q, err := checks.Time.Parse(text)
	switch {
	case err != nil:
		r.Problem(n, fmt.Sprintf("%s: %s", what, reason(err)), "")
		return checks.Quantity{}
	case q.Duration() < shortestLimit || q.Duration() > longestLimit:
		r.Problem(n, what+" lies outside its range", "from 0.1 s to 3600 s")
	}
	return q
}
