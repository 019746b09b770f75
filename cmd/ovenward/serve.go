package main

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"path/filepath"
	"sync"
	"time"

	"ovenward/static"
	"ovenward/store"
	"ovenward/web"
	"ovenward/web/alerts"
	"ovenward/web/live"
)

// serve shows the day in the browser until ctx ends.
func (p *program) serve(ctx context.Context, args []string) (err error) {
	cfg, err := p.config(args)
	if err != nil {
		return err
	}
	defer func() { err = adviseCopy(err, cfg.Data) }()
	st, err := store.Open(ctx, filepath.Join(cfg.Data, databaseName), p.now)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, st.Close()) }()
	if cfg.LAN {
		if err := admitOthers(ctx, st); err != nil {
			return err
		}
	}
	if err := p.firstStart(ctx, st); err != nil {
		return err
	}
	ln, err := cfg.listen()
	if err != nil {
		return err
	}
	defer ln.Close() // once more does no harm
	ln = newCrowd(ln)
	log := p.log(cfg.Verbose)
	stream := live.NewHub()
	screens := live.NewScreens(stream)
	ringer := alerts.New(alerts.Config{Book: st, Hub: stream, Screens: screens, Log: log, Now: p.now})
	health := &watch{store: st, data: cfg.Data, hub: stream, log: log}
	pages := web.Config{Store: st, Hub: hub{stream, ringer.Wake}, Screens: screens, Static: static.FS, Now: p.now, Log: log, Damaged: health.damaged.Load}
	encryption, err := p.answerOthers(&pages, cfg, ln)
	if err != nil {
		return err
	}
	handler, err := web.New(pages)
	if err != nil {
		return err
	}
	var beside sync.WaitGroup
	defer beside.Wait() // before the database closes
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	beside.Go(func() { ringer.Run(ctx) })
	beside.Go(func() { health.keeping(ctx) })
	beside.Go(func() { copier{st, filepath.Join(cfg.Data, copiesName), p.now, log}.keeping(ctx) })
	beside.Go(func() { maker{handler, log}.making(ctx) })
	fmt.Fprintf(p.out, "ovenward is at %s (data in %s)\n", here(ln), cfg.Data)
	if cfg.LAN {
		p.sayWhere(ln, pages.Authority)
	}
	return listenUntil(ctx, ln, encryption, handler, log)
}

// answerOthers has the pages know how other machines reach them, if they do at all,
// and gives what those are answered with over https, nil for plain http.
func (p *program) answerOthers(pages *web.Config, cfg Config, ln net.Listener) (_ *tls.Config, err error) {
	if !cfg.LAN {
		return nil, nil
	}
	if cfg.HTTPS {
		if pages.Authority, err = p.authority(cfg.Data); err != nil {
			return nil, err
		}
	}
	authority := pages.Authority
	pages.Hosts, pages.Addresses = machineNames(), func() []string { return there(ln, authority) }
	if authority == nil {
		return nil, nil
	}
	return p.encryption(authority, ln), nil
}

func (p *program) log(verbose bool) *slog.Logger {
	level := slog.LevelInfo
	if verbose {
		level = slog.LevelDebug
	}
	return slog.New(slog.NewTextHandler(p.err, &slog.HandlerOptions{Level: level}))
}

// answer is how long an answer may take, and goodbye those under way at the end.
const (
	answer  = 30 * time.Second
	goodbye = answer
)

// listenUntil serves until ctx ends, then lets answers under way finish. Streams
// never finish by themselves: they end when the base context does. With
// encryption the one port answers to both, encrypted and plain.
func listenUntil(ctx context.Context, ln net.Listener, encryption *tls.Config, h http.Handler, log *slog.Logger) error {
	base, endStreams := context.WithCancel(context.WithoutCancel(ctx))
	defer endStreams()
	srv := &http.Server{
		Handler:           h,
		ReadHeaderTimeout: 5 * time.Second,
		ReadTimeout:       answer,
		WriteTimeout:      answer, // streams lift it for themselves
		IdleTimeout:       2 * time.Minute,
		MaxHeaderBytes:    64 << 10,
		BaseContext:       func(net.Listener) context.Context { return base },
		ErrorLog:          slog.NewLogLogger(log.Handler(), slog.LevelWarn),
		TLSConfig:         encryption,
	}
	srv.RegisterOnShutdown(endStreams)
	ended := make(chan error, 2)
	if encryption != nil {
		plain, secure := split(ln)
		ln = plain
		go func() { ended <- srv.ServeTLS(secure, "", "") }()
	}
	go func() { ended <- srv.Serve(ln) }()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	last, cancel := context.WithTimeout(context.WithoutCancel(ctx), goodbye)
	defer cancel()
	return srv.Shutdown(last)
}
