package main

import (
	"github.com/spf13/cobra"
)

func newSite(s streams) *cobra.Command {
	cmd := &cobra.Command{Use: "site", Short: "Describe what is fitted at the premises"}
	cmd.AddCommand(newSiteNew(s), newSiteLearn(s), newSiteCheck(s), newSiteShow(s), newSiteKeys(s), newSiteLabels(s))
	return cmd
}
