package store

import (
	"context"
	"database/sql"
	"time"
)

// plansWhole is how many days after its own a day keeps every plan it ever had.
const plansWhole = 30

// ThinPlans takes the tasks out of plans nobody will look at again, so that the
// database does not grow with every repair: plans that are not their day's
// newest, of days more than plansWhole days past. What they promised stays, and
// so does all that was said and rung on the day; of the day a plan was made from
// only what the newest plan still needs. It gives how many plans it has thinned.
// Each day is a transaction of its own, so that no tap waits for all of them.
func (s *Store) ThinPlans(ctx context.Context, now time.Time) (thinned int, err error) {
	defer wrap(&err, "thin plans")
	days, err := collect(ctx, s.r, func(rows *sql.Rows) (id int64, err error) {
		err = rows.Scan(&id)
		return id, err
	}, `SELECT DISTINCT day.id FROM day JOIN plan ON plan.day = day.id
		WHERE date < ? AND plan.version < day.version AND json_array_length(body, '$.tasks') > 0`,
		now.UTC().AddDate(0, 0, -plansWhole).Format(time.DateOnly))
	if err != nil {
		return 0, err
	}
	for _, id := range days {
		n, err := s.thin(ctx, id)
		if err != nil {
			return thinned, err
		}
		thinned += n
	}
	return thinned, nil
}

func (s *Store) thin(ctx context.Context, day int64) (int, error) {
	res, err := s.w.ExecContext(ctx, `UPDATE plan SET
		body = json_set(body, '$.batches', json('[]'), '$.loads', json('[]'), '$.tasks', json('[]')),
		made_from = iif(plan.version = (SELECT base FROM repair WHERE repair.day = day.id AND repair.version = day.version), made_from,
			json_set(json_remove(made_from, '$.bases', '$.learned'), '$.kitchen', json('{}'), '$.breads', json('[]'), '$.orders', json('[]')))
		FROM day WHERE day.id = ? AND plan.day = day.id AND plan.version < day.version AND json_array_length(body, '$.tasks') > 0`, day)
	if err != nil {
		return 0, err
	}
	n, err := res.RowsAffected()
	return int(n), err
}
