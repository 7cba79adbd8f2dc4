package main

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"net/netip"
	"time"

	"github.com/spf13/cobra"

	"loopwitness/commission/ask"
	"loopwitness/commission/ask/desk"
	"loopwitness/commission/ask/phone"
	"loopwitness/commission/job"
	"loopwitness/commission/kit/qr"
	"loopwitness/commission/words"
)

// phoneOptions are how a visit, or the learning of a site, is held on a phone.
type phoneOptions struct {
	on, http bool
	listen   string
}

func phoneFlags(cmd *cobra.Command, o *phoneOptions) {
	cmd.Flags().BoolVar(&o.on, "phone", false, "serve a page on the local network, to do all of this on a phone")
	cmd.Flags().BoolVar(&o.http, "phone-http", false,
		"serve it without encryption: readable on the wireless, and the phone's screen may go dark")
	cmd.Flags().StringVar(&o.listen, "phone-listen", "",
		"address of this computer, or address:port, to serve it at (asked if there are several networks)")
}

// check refuses what does not go together.
func (o phoneOptions) check(answers string) error {
	switch {
	case !o.on && (o.http || o.listen != ""):
		return errors.New("--phone-http and --phone-listen go with --phone")
	case o.on && answers != "":
		return errors.New("--phone and --answers exclude each other: a file answers, or a person with a phone")
	case o.listen != "":
		_, err := phone.ParseAddress(o.listen)
		return err
	}
	return nil
}

// phoneVisit is a visit on a phone: the page, and the desk at which phone and terminal take
// turns. A nil one is none.
type phoneVisit struct {
	page     *phone.Page
	desk     *desk.Desk
	learning bool
}

// paged is what a page is for: a visit, or the learning of a site.
type paged struct {
	simulated bool
	resumes   bool // the phones of an earlier run of the visit go on
	learning  bool
}

// Close gives the terminal back, tells the phones the last word, and serves nothing more.
// It may be called again.
func (h *phoneVisit) Close(paused bool) {
	if h == nil || h.page == nil {
		return
	}
	h.desk.Close()
	_ = h.page.Close(ask.PhonePageOver{Paused: paused, Learning: h.learning}) // nothing is lost by it
	h.page = nil
}

// onPhone serves the page.
func (s streams) onPhone(ctx context.Context, f job.Folder, o phoneOptions, operator ask.Operator, of paged) (
	*phoneVisit, error,
) {
	if !o.on {
		return nil, nil
	}
	at, err := s.networkOf(ctx, o, operator)
	if err != nil {
		return nil, err
	}
	config := phone.Config{Language: s.language(), TLS: !o.http, Simulated: of.simulated, Terminal: true,
		Texts: words.PageTexts(s.language()), Keep: f.KeepPhones}
	switch {
	case of.learning: // and a visit that is paused keeps its phones
		config.Texts, config.Keep = words.LearningPageTexts(s.language()), nil
	case of.resumes:
		config.Kept, _ = f.Phones() // what cannot be read pairs anew
	}
	scheme := "http"
	var certificate *tls.Certificate
	pairing := ask.Pairing{}
	if !o.http {
		scheme = "https"
		c, err := s.certificate(f, at.Addr())
		if err != nil {
			return nil, err
		}
		certificate, pairing.Fingerprint = &c, phone.Fingerprint(c)
	}
	l, err := phone.Listen(at, !o.http)
	if err != nil {
		return nil, fmt.Errorf("%w; name another address or port with --phone-listen", err)
	}
	config.Hosts = phone.HostsOf(l.Addr(), !o.http)
	server, tokens := phone.New(config)
	address := func(token string) string { return scheme + "://" + l.Addr().String() + "/#" + token }
	pairing.Address = address(tokens.Technician)
	if code, err := qr.Encode(pairing.Address, qr.Low); err == nil {
		const quiet = 2 // modules; less than the standard's 4, but read all the same, and it fits
		pairing.Code = code.HalfBlocks(quiet)
	}
	s.sayPairing(pairing, address(tokens.Onlooker))
	return &phoneVisit{server.Open(l, certificate), desk.New(operator, server, pairing), of.learning}, nil
}

// certificate is what the page proves itself with, kept in the job's folder.
func (s streams) certificate(f job.Folder, at netip.Addr) (tls.Certificate, error) {
	kept, _ := f.PhoneCertificate() // what cannot be read is made anew
	c, fresh, err := phone.Certificate(kept, at, time.Now())
	if err != nil {
		return c, err
	}
	if fresh != nil {
		if err := f.KeepPhoneCertificate(fresh); err != nil {
			s.wrapped(s.around(words.PhoneWarnsAgain, err))
		}
	}
	return c, nil
}

// networkOf is where the page is served: where it is said, or on the only network, or on
// the one that is chosen.
func (s streams) networkOf(ctx context.Context, o phoneOptions, operator ask.Operator) (netip.AddrPort, error) {
	if o.listen != "" {
		return phone.ParseAddress(o.listen)
	}
	networks, err := phone.Networks()
	switch {
	case err != nil:
		return netip.AddrPort{}, err
	case len(networks) == 0:
		return netip.AddrPort{}, errors.New("this computer is on no network that a phone could reach; join the phone's " +
			"own hotspot, or name an address with --phone-listen")
	case len(networks) == 1:
		return netip.AddrPortFrom(networks[0].Address, 0), nil
	}
	var options []ask.Option
	for _, n := range networks {
		label := fmt.Sprintf("%s (%s)", n.Address, n.Name)
		options = append(options, ask.Option{Word: n.Address.String(), Label: ask.Verbatim(label)})
	}
	answer, err := operator.Ask(
		ctx,
		ask.Question{ID: "phone/network", What: ask.PairWhich, Takes: ask.OneOf{Options: options}},
	)
	if err != nil {
		return netip.AddrPort{}, err
	}
	at, err := netip.ParseAddr(answer.Text)
	return netip.AddrPortFrom(at, 0), err
}

// sayPairing prints what does not stand beside the code, which is shown until a phone has the
// questions.
func (s streams) sayPairing(p ask.Pairing, onlooker string) {
	say := func(what ask.Phrase) { s.wrapped(s.language().Say(what)) }
	if p.Fingerprint == "" {
		say(ask.PairPlainHTTP)
	}
	say(ask.PairOnlooker)
	s.say("   %s", onlooker)
	say(ask.PairNotReached)
}
