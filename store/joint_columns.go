package store

import (
	"context"
	"database/sql"
	"fmt"
	"reflect"
	"strings"

	"wreckwright/rebuild"
)

var joints = table[rebuild.Joint]{
	"joint", strings.Fields(`id rev title zone safety thread count torque_nm tolerance_nm angle_deg angle_tolerance_deg
		source source_where friction lubricant locking one_time retorque_after_km note`),
	func(j *rebuild.Joint, _ *string) []any {
		return []any{
			&j.ID, &j.Rev, &j.Title, &j.Zone, &j.Safety, &j.Thread, &j.Count, &j.TorqueNm, &j.ToleranceNm, &j.AngleDeg, &j.AngleToleranceDeg,
			&j.Source, &j.SourceWhere, &j.Friction, &j.Lubricant, &j.Locking, &j.OneTime, &j.RetorqueAfterKm, &j.Note,
		}
	},
}

var tools = table[rebuild.Tool]{
	"tool", strings.Fields("id rev title class low_nm high_nm calibrated_on certificate note"),
	func(t *rebuild.Tool, _ *string) []any {
		return []any{&t.ID, &t.Rev, &t.Title, &t.Class, &t.LowNm, &t.HighNm, &t.CalibratedOn, &t.Certificate, &t.Note}
	},
}

var jointPasses = partsOf("joint_pass", "joint_id place torque_nm", func(nm *float64) []any { return []any{nm} })

var jointUndone = partsOf("joint_undone", "joint_id place at why", func(u *rebuild.Undoing) []any { return []any{&u.At, &u.Why} })

var jointJobs = links("joint_job", "joint_id", "job_id")

var tightenings = partsOf("tightening", `joint_id place at who tool_id calibrated_on torque_nm angle_deg passes renewed locked
	second_by second_at alone at_km note`,
	func(t *rebuild.Tightening) []any {
		return []any{
			&t.At, &t.Who,
			orNull{&t.Tool},
			&t.CalibratedOn, &t.TorqueNm, &t.AngleDeg, &t.Passes, &t.Renewed, &t.Locked, &t.SecondBy, &t.SecondAt, &t.Alone, &t.AtKm, &t.Note,
		}
	})

// tighteningPhotoRow is a photo with the joint and the tightening that it hangs on.
type tighteningPhotoRow struct {
	joint, tightening, place int64
	photo                    rebuild.Attachment
}

var tighteningPhotos = table[tighteningPhotoRow]{
	"attachment", strings.Fields("joint_id tightening_place place hash name media_type size caption"),
	func(row *tighteningPhotoRow, _ *string) []any {
		a := &row.photo
		return []any{&row.joint, &row.tightening, &row.place, &a.Hash, &a.Name, &a.MediaType, &a.Size, &a.Caption}
	},
}

func (w *rows) keepJoint(e rebuild.Edit) error {
	before, _ := e.Before.(rebuild.Joint)
	after, _ := e.After.(rebuild.Joint)
	return firstError(
		func() error { return keepRow(w, joints, e) },
		func() error { return keepParts(w, jointPasses, e.ID(), before.Passes, after.Passes) },
		func() error { return keepParts(w, jointUndone, e.ID(), before.Undone, after.Undone) },
		func() error { return w.keepLinks(jointJobs, e.ID(), before.Jobs, after.Jobs) },
		func() error { return w.keepTightenings(e.ID(), before.Tightenings, after.Tightenings) },
	)
}

// keepTightenings writes the tightenings with their photos anew where any of them
// differs.
func (w *rows) keepTightenings(joint int64, before, after []rebuild.Tightening) error {
	if reflect.DeepEqual(before, after) {
		return nil
	}
	if _, err := w.exec("delete from attachment where rebuild_id = ? and joint_id = ?", w.id, joint); err != nil {
		return err
	}
	if err := writeParts(w, tightenings, joint, after); err != nil {
		return err
	}
	for i, t := range after {
		for k, a := range t.Photos {
			if err := w.fileIsKept(a); err != nil {
				return err
			}
			if err := insert(w, tighteningPhotos, tighteningPhotoRow{joint, int64(i + 1), int64(k + 1), a}); err != nil {
				return err
			}
		}
	}
	return nil
}

// readJointParts hangs on the joints what belongs to them.
func readJointParts(ctx context.Context, tx *sql.Tx, r *rebuild.Rebuild) error {
	return firstError(
		readingParts(ctx, tx, jointPasses, r, r.Joint, func(j *rebuild.Joint) *[]float64 { return &j.Passes }),
		readingParts(ctx, tx, jointUndone, r, r.Joint, func(j *rebuild.Joint) *[]rebuild.Undoing { return &j.Undone }),
		readingLinks(ctx, tx, jointJobs, r, r.Joint, func(j *rebuild.Joint) *[]int64 { return &j.Jobs }),
		readingParts(ctx, tx, tightenings, r, r.Joint, func(j *rebuild.Joint) *[]rebuild.Tightening { return &j.Tightenings }),
		func() error { return readTighteningPhotos(ctx, tx, r) },
	)
}

func readTighteningPhotos(ctx context.Context, tx *sql.Tx, r *rebuild.Rebuild) error {
	var row tighteningPhotoRow
	query := fmt.Sprintf("select %s from attachment where rebuild_id = ? and joint_id is not null order by joint_id, tightening_place, place", strings.Join(tighteningPhotos.columns, ", "))
	return each(ctx, tx, query, []any{r.ID}, tighteningPhotos.fields(&row, nil), func() {
		if j := r.Joint(row.joint); j != nil && row.tightening >= 1 && int(row.tightening) <= len(j.Tightenings) {
			t := &j.Tightenings[row.tightening-1]
			t.Photos = append(t.Photos, row.photo)
		}
		row = tighteningPhotoRow{}
	})
}
