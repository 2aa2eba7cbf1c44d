package main

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"
)

func (a *app) serveCommand() *cobra.Command {
	return &cobra.Command{Use: "serve"}
}
func (a *app) planCommand() *cobra.Command { return &cobra.Command{Use: "plan"} }
func (a *app) serve(ctx context.Context, job string, port int, open bool) error {
	return fmt.Errorf("x")
}
