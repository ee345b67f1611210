package main

import (
	"github.com/spf13/cobra"

	"rxsplit/cmd/internal/app"
	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/data"
	"rxsplit/cmd/internal/report/text"
)

// newRecord puts together what is known of an application.
func newRecord(u *ui) *cobra.Command {
	var moved app.InputsAt
	var from app.RecordFrom
	var to results
	cmd := &cobra.Command{
		Use:   "record DIR",
		Short: "Put together the record of an application, with what is missing",
		Long: `record proves a written plan and puts together what is known of its application:
from the plan, its job and label, its approval, the logs, and what those who
were there say. It names what is missing, and which entries federal rules ask
for.

It is a check of completeness and no claim of compliance. rxsplit record new
writes a file of what only those who were there can say.`,
		Args: takes(1, 1, "one folder"),
		RunE: func(cmd *cobra.Command, args []string) error {
			r, err := u.run().Record(cmd.Context(), args[0], moved, from)
			if err != nil {
				return err
			}
			err = told[report.Record]{u.run().WriteRecord, text.Record, data.Record}.tell(cmd.Context(), u, to, r, len(r.Missing()) > 0)
			if (err == nil || err == errFlagged) && to.out != "" && !r.Approved {
				u.note("the plan is not approved: once it is, this record no longer holds, and is to be written anew; rxsplit approve %s --by NAME comes first", report.Word(args[0]))
			}
			if err == errFlagged && from.Said == "" {
				u.note("the said file is what those who were there say: rxsplit record new said.yaml writes one to fill in; name it with --said")
			}
			return err
		},
	}
	f := cmd.Flags()
	f.StringVar(&from.Said, "said", "", "what those who were there say (YAML); rxsplit record new writes one to fill in")
	f.StringVar(&from.Applied, "applied", "", "folder that rxsplit applied wrote")
	to.flags(cmd, "the page and the JSON")
	sourceFlags(cmd, &moved)
	u.timingsFlag(cmd)
	cmd.AddCommand(newTemplate(u, "what is to be said of the day", "said.yaml", app.SaidTemplate))
	return cmd
}
