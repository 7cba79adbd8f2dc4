package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"loopwitness/commission/site"
	"loopwitness/commission/words"
	"loopwitness/commission/words/languages"
)

func languageFlag(cmd *cobra.Command, tag *string, otherwise string) {
	cmd.Flags().StringVar(tag, "language", "", strings.Join(site.Languages, " or ")+" (default "+otherwise+")")
}

// languageOf is the language that --language names, nil for none.
func languageOf(tag string) (words.Language, error) {
	if tag == "" {
		return nil, nil
	}
	l, known := languages.ByTag(tag)
	if !known {
		return nil, fmt.Errorf("--language: %q is no language that is known; take one of: %s", tag,
			strings.Join(site.Languages, ", "))
	}
	return l, nil
}

// languageOfSite is the language that --language names, else that of the site file, in its units.
func languageOfSite(tag string, st *site.Site) (words.Language, error) {
	l, err := languageOf(tag)
	if l == nil {
		return languages.OfSite(st), err
	}
	return l.In(st.Units), nil
}
