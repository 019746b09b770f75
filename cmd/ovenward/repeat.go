package main

import (
	"context"
	"log/slog"
	"time"

	"github.com/robfig/cron/v3"

	"ovenward/web/alerts"
)

// repeat does a job at once and then every so often, one time after the other,
// until ctx ends; what a computer sleeps through only delays it.
func repeat(ctx context.Context, every time.Duration, log *slog.Logger, job func()) {
	job()
	quiet := cron.DiscardLogger
	often := cron.New(cron.WithLocation(time.UTC), cron.WithLogger(quiet), cron.WithChain(cron.SkipIfStillRunning(quiet), cron.Recover(alerts.CronLog{Log: log})))
	often.Schedule(cron.Every(every), cron.FuncJob(job))
	often.Start()
	<-ctx.Done()
	<-often.Stop().Done()
}
