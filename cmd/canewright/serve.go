package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"time"

	"canewright/app"
	"canewright/records"
)

// served is how the pages are served.
type served struct {
	addr      string
	cert, key string
	https     bool
	proxies   []string
}

func (s *served) flags(c *call, addr string) {
	c.set.StringVar(&s.addr, "addr", addr, "")
	c.set.StringVar(&s.cert, "cert", "", "")
	c.set.StringVar(&s.key, "key", "", "")
	c.set.BoolVar(&s.https, "https", false, "")
	c.set.Func("proxy", "", func(addr string) error {
		s.proxies = append(s.proxies, addr)
		return nil
	})
}

func (s *served) check() error {
	if (s.cert == "") != (s.key == "") {
		return usage(say("cmd.serve.cert_and_key"))
	}
	if _, _, err := net.SplitHostPort(s.addr); err != nil {
		return usage(say("cmd.serve.addr", "Typed", s.addr))
	}
	return nil
}

func (s *served) secure() bool { return s.https || s.cert != "" }

// serve is `canewright serve`: the pages of a house, until the program is told to stop.
func serve(c *call) error {
	c.withData()
	var s served
	var n newHouse
	s.flags(c, "127.0.0.1:8080")
	n.flags(c)
	isNew := c.set.Bool("new", false, "")
	if err := c.parse(); err != nil {
		return err
	}
	if err := s.check(); err != nil {
		return err
	}
	place, err := c.dataPlace()
	if err != nil {
		return err
	}
	there, err := c.hasHouse(place)
	switch {
	case err != nil:
		return err
	case there && *isNew:
		return usage(say("cmd.new.already", "Place", shownPlace(place)))
	case !there:
		if err := c.startHouse(place, n, *isNew); err != nil {
			return err
		}
	}
	store, err := c.open(place)
	if err != nil {
		return err
	}
	listener, err := listen(s.addr)
	if err != nil {
		return errors.Join(err, store.Close())
	}
	return errors.Join(c.serveHouse(listener, store, place, s), store.Close())
}

func listen(addr string) (net.Listener, error) {
	listener, err := net.Listen("tcp", addr)
	if err != nil {
		return nil, errors.New(say("cmd.serve.busy", "Addr", addr, "Problem", err))
	}
	return listener, nil
}

// hasHouse tells whether a place holds a house already; a database without one is an unfinished start.
func (c *call) hasHouse(place string) (bool, error) {
	if !remote(place) && !records.Exists(place) {
		return false, nil
	}
	store, err := c.open(place)
	if err != nil {
		return false, err
	}
	_, err = store.House(c.ctx)
	if errors.Is(err, records.ErrNotFound) {
		return false, store.Close()
	}
	return err == nil, errors.Join(err, store.Close())
}

// serveHouse keeps the house's backups while it serves its pages.
func (c *call) serveHouse(listener net.Listener, store *records.Store, place string, s served) error {
	ctx, stop := context.WithCancel(c.ctx)
	kept := make(chan struct{})
	go func() {
		defer close(kept)
		c.keepHouse(ctx, store, place)
	}()
	err := c.serveOn(listener, store, s)
	stop()
	<-kept
	return err
}

// serveOn serves the pages on a listener until the context ends, then lets what is being answered finish.
func (c *call) serveOn(listener net.Listener, store *records.Store, s served) error {
	log := slog.New(slog.NewTextHandler(c.stderr, nil))
	pages, err := app.New(store, app.Options{Log: log, HTTPS: s.secure(), Proxies: s.proxies})
	if err != nil {
		return errors.Join(err, listener.Close())
	}
	c.tellAddress(listener.Addr(), s)
	server := &http.Server{Handler: pages.Handler(), ReadHeaderTimeout: 10 * time.Second, ReadTimeout: 4 * time.Minute,
		WriteTimeout: 5 * time.Minute, IdleTimeout: 2 * time.Minute, MaxHeaderBytes: 64 << 10,
		ErrorLog: slog.NewLogLogger(log.Handler(), slog.LevelWarn)}
	server.RegisterOnShutdown(pages.EndStreams)
	ended := make(chan error, 1)
	go func() {
		if s.cert != "" {
			ended <- server.ServeTLS(listener, s.cert, s.key)
			return
		}
		ended <- server.Serve(listener)
	}()
	select {
	case err := <-ended:
		return err
	case <-c.ctx.Done():
	}
	c.say("cmd.serve.stopping")
	ctx, cancel := context.WithTimeout(context.WithoutCancel(c.ctx), 15*time.Second)
	defer cancel()
	if err := server.Shutdown(ctx); err != nil {
		return errors.Join(fmt.Errorf("stop serving: %w", err), server.Close())
	}
	return nil
}

// tellAddress prints where the pages are; beyond this machine and without https, what that means.
func (c *call) tellAddress(addr net.Addr, s served) {
	scheme := "http"
	if s.cert != "" {
		scheme = "https"
	}
	shown, open := addr.String(), true
	if tcp, ok := addr.(*net.TCPAddr); ok {
		open = !tcp.IP.IsLoopback()
		if tcp.IP.IsUnspecified() {
			shown = net.JoinHostPort(thisMachine(), fmt.Sprint(tcp.Port))
		}
	}
	c.say("cmd.serve.at", "URL", scheme+"://"+shown+"/")
	if open && !s.secure() {
		c.warn("cmd.serve.plain")
	}
}

// thisMachine is an address by which phones on the farm's network reach this machine.
func thisMachine() string {
	addresses, _ := net.InterfaceAddrs()
	for _, a := range addresses {
		if ip, _, err := net.ParseCIDR(a.String()); err == nil && ip.To4() != nil && ip.IsPrivate() {
			return ip.String()
		}
	}
	return "127.0.0.1"
}
