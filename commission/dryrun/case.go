package dryrun

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/rogpeppe/go-internal/txtar"
	"go.yaml.in/yaml/v3"

	"loopwitness/commission/kit/readfile"
	"loopwitness/commission/programme"
)

// Case is a visit and what is expected of it.
type Case struct {
	About  string // in words
	Visit  Visit
	Expect []string // lines, as testdata/visits/README.md says
}

// ReadCase reads a case as testdata/visits/README.md says; what it does not say is as in the
// folder base.
func ReadCase(archive *txtar.Archive, base string) (Case, error) {
	c := Case{About: string(archive.Comment)}
	if strings.TrimSpace(c.About) == "" {
		return c, fmt.Errorf("a case begins with what it is, in words")
	}
	parts := map[string][]byte{}
	for _, f := range archive.Files {
		if !slices.Contains(caseParts, f.Name) {
			return c, fmt.Errorf("a case has no part %q; it has: %s", f.Name, strings.Join(caseParts, ", "))
		}
		parts[f.Name] = f.Data
	}
	c.Expect = linesOf(parts["expect"])
	if len(c.Expect) == 0 {
		return c, fmt.Errorf("a case expects something")
	}
	c.Visit.Kind = programme.VisitKind(strings.TrimSpace(string(parts["kind"])))
	for name, to := range map[string]*[]byte{"site.yaml": &c.Visit.Site, "controller.yaml": &c.Visit.Controller,
		"answers.yaml": &c.Visit.Answers} {
		text, err := whole(parts, base, name)
		if err != nil {
			return c, err
		}
		*to = text
	}
	var err error
	c.Visit.Answers, err = answersBefore(parts["answers"], c.Visit.Answers)
	return c, err
}

var caseParts = []string{"kind", "site.yaml", "site.yaml.set", "controller.yaml", "controller.yaml.set", "answers.yaml",
	"answers", "expect"}

const mostCase = 1 << 20 // bytes of a file

// whole is a file of a case: its own or that of base, with what the case sets in it.
func whole(parts map[string][]byte, base, name string) ([]byte, error) {
	text, own := parts[name]
	if !own {
		var err error
		if text, err = readfile.All(filepath.Join(base, name), mostCase); err != nil {
			return nil, err
		}
	}
	var err error
	for _, line := range linesOf(parts[name+".set"]) {
		path, value, sets := strings.Cut(line, ": ")
		switch {
		case strings.HasPrefix(line, "- "):
			text, err = DeleteKey(text, strings.TrimSpace(line[2:]))
		case sets:
			text, err = SetKey(text, path, value)
		default:
			err = fmt.Errorf("%q sets nothing; write path: value, or - path", line)
		}
		if err != nil {
			return nil, fmt.Errorf("%s.set: %w", name, err)
		}
	}
	return text, nil
}

// linesOf are the lines of a part, without comments and empty ones.
func linesOf(part []byte) (lines []string) {
	for _, line := range strings.Split(string(part), "\n") {
		if line = strings.TrimSpace(line); line != "" && !strings.HasPrefix(line, "#") {
			lines = append(lines, line)
		}
	}
	return lines
}

// answersBefore puts answers before those of a file.
func answersBefore(own, file []byte) ([]byte, error) {
	if len(own) == 0 {
		return file, nil
	}
	var before, all yaml.Node
	if err := yaml.Unmarshal(own, &before); err != nil {
		return nil, fmt.Errorf("answers: %w", err)
	}
	if err := yaml.Unmarshal(file, &all); err != nil {
		return nil, fmt.Errorf("answers.yaml: %w", err)
	}
	list := all.Content[0].Content[1]
	list.Content = append(slices.Clone(before.Content[0].Content), list.Content...)
	return yaml.Marshal(&all)
}
