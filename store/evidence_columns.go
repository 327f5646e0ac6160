package store

import (
	"reflect"
	"strings"

	"wreckwright/rebuild"
)

var evidences = table[rebuild.Evidence]{
	"evidence", strings.Fields("id rev on_day at instrument title job_id phase settings verdict why engine note"),
	func(e *rebuild.Evidence, _ *string) []any {
		return []any{
			&e.ID, &e.Rev, &e.On, &e.At, &e.Instrument, &e.Title,
			orNull{&e.JobID},
			&e.Phase,
			&e.Settings, &e.Verdict, &e.Why, &e.Engine, &e.Note,
		}
	},
}

// evidenceFigureRow is a figure with the measurement it belongs to and its place
// there.
type evidenceFigureRow struct {
	evidence, place int64
	figure          rebuild.EvidenceFigure
}

var evidenceFigures = table[evidenceFigureRow]{
	"evidence_figure", strings.Fields("evidence_id place name value low high unit"),
	func(row *evidenceFigureRow, _ *string) []any {
		f := &row.figure
		return []any{&row.evidence, &row.place, &f.Name, &f.Value, &f.Low, &f.High, &f.Unit}
	},
}

func (w *rows) keepEvidence(e rebuild.Edit) error {
	before, _ := e.Before.(rebuild.Evidence)
	after, _ := e.After.(rebuild.Evidence)
	return firstError(
		func() error { return keepRow(w, evidences, e) },
		func() error { return w.keepFigures(e.ID(), before.Figures, after.Figures) },
		func() error { return w.keepAttachments("evidence_id", e.ID(), before.Raw, after.Raw) },
	)
}

// keepFigures writes the figures anew where any of them differs.
func (w *rows) keepFigures(evidence int64, before, after []rebuild.EvidenceFigure) error {
	if reflect.DeepEqual(before, after) {
		return nil
	}
	if _, err := w.exec("delete from evidence_figure where rebuild_id = ? and evidence_id = ?", w.id, evidence); err != nil {
		return err
	}
	for i, f := range after {
		if err := insert(w, evidenceFigures, evidenceFigureRow{evidence, int64(i + 1), f}); err != nil {
			return err
		}
	}
	return nil
}
