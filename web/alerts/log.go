package alerts

import "log/slog"

// CronLog lets cron log through slog. Its news are of every beat and only for
// debugging.
type CronLog struct{ Log *slog.Logger }

// Info implements [cron.Logger].
func (l CronLog) Info(msg string, keysAndValues ...any) {
	l.Log.Debug("cron: "+msg, keysAndValues...)
}

// Error implements [cron.Logger].
func (l CronLog) Error(err error, msg string, keysAndValues ...any) {
	l.Log.Error("cron: "+msg, append(keysAndValues, "err", err)...)
}
