package alerts

import "log/slog"

// cronLog lets cron log through slog. Its news are of every beat and only for
// debugging.
type cronLog struct{ log *slog.Logger }

func (l cronLog) Info(msg string, keysAndValues ...any) {
	l.log.Debug("cron: "+msg, keysAndValues...)
}

func (l cronLog) Error(err error, msg string, keysAndValues ...any) {
	l.log.Error("cron: "+msg, append(keysAndValues, "error", err)...)
}
