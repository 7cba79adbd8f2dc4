package ask

import (
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// What is told about a phone, on it and at the terminal.
type (
	// PhonePaired tells that a device was paired; Onlooker: it only looks on.
	PhonePaired struct {
		Device   string
		Onlooker bool
	}
	// HeldByPhone tells that a phone holds the questions from now on.
	HeldByPhone struct{ Device string }
	// HeldByTerminal tells that the terminal holds them.
	HeldByTerminal struct{}
	// WrongTokens tells that a device tried addresses that are none of this run.
	WrongTokens struct{ From string }
	// WrongCodes tells that the customer's phone was given digits that are not those.
	WrongCodes struct{}
	// PhoneHandedOver tells that the customer holds the phone; Back: no longer.
	PhoneHandedOver struct{ Back bool }
	// PhonePageOver is the last word to a phone. Paused: the visit, or where Learning the
	// learning of a site, goes on another time.
	PhonePageOver struct{ Paused, Learning bool }
)

// Who holds the questions, as a phone shows it.
type (
	// HolderIs is the device that holds them; "" for the terminal.
	HolderIs struct{ Device string }
	// HolderWanted tells that no phone is paired yet.
	HolderWanted struct{}
	// HolderThis tells that it is this phone.
	HolderThis struct{}
	// TakeFrom asks whether the questions are taken from a device that holds them; "" for
	// the terminal.
	TakeFrom struct{ Device string }
)

// What phones are told in words.
type (
	// ItemStands is the result of a line of a list.
	ItemStands struct{ Result record.Result }
	// Spoken is what an attempt showed, as short as it is spoken.
	Spoken struct {
		Point   site.Point
		Verdict record.Verdict
	}
	// Progress is how many steps of a stage are concluded.
	Progress struct{ Done, All int }
)

// PhoneRefusal is why a phone is refused, where that needs no argument.
type PhoneRefusal string

// The refusals.
const (
	NotPaired       PhoneRefusal = "not-paired"
	TokenUnknown    PhoneRefusal = "token-unknown"
	TokensStopped   PhoneRefusal = "tokens-stopped"
	TooManyPhones   PhoneRefusal = "too-many-phones"
	OnlyLooksOn     PhoneRefusal = "only-looks-on"
	NotTheHolder    PhoneRefusal = "not-the-holder"
	WithTheCustomer PhoneRefusal = "with-the-customer"
	SoundsStill     PhoneRefusal = "sounds-still" // while something does, no phone is handed over
	CodeForm        PhoneRefusal = "code-form"
	CodeWrong       PhoneRefusal = "code-wrong"
	CodesStopped    PhoneRefusal = "codes-stopped"
	NotUnderstood   PhoneRefusal = "not-understood"
	BodyTooLarge    PhoneRefusal = "body-too-large"
	TapAhead        PhoneRefusal = "tap-ahead"
	NoSuchKey       PhoneRefusal = "no-such-key"
	NothingSounds   PhoneRefusal = "nothing-sounds"
	NoPhotographNow PhoneRefusal = "no-photograph-now"
	NoTerminal      PhoneRefusal = "no-terminal"
	VisitOver       PhoneRefusal = "visit-over"
)

// PairMatter is what stands beside a pairing on the terminal.
type PairMatter string

// The matters of a pairing.
const (
	PairOnlooker   PairMatter = "onlooker"
	PairPlainHTTP  PairMatter = "plain-http"
	PairNotReached PairMatter = "not-reached"
	PairWhich      PairMatter = "which-network"
)

// Code names it.
func (PhonePaired) Code() string     { return "notice/phone-paired" }
func (HeldByPhone) Code() string     { return "notice/held-by-phone" }
func (HeldByTerminal) Code() string  { return "notice/held-by-terminal" }
func (WrongTokens) Code() string     { return "notice/wrong-tokens" }
func (WrongCodes) Code() string      { return "notice/wrong-codes" }
func (PhoneHandedOver) Code() string { return "notice/phone-handed-over" }
func (PhonePageOver) Code() string   { return "notice/phone-page-over" }
func (HolderIs) Code() string        { return "holder/is" }
func (HolderWanted) Code() string    { return "holder/wanted" }
func (HolderThis) Code() string      { return "holder/this" }
func (TakeFrom) Code() string        { return "holder/take-from" }
func (ItemStands) Code() string      { return "board/item" }
func (Spoken) Code() string          { return "board/spoken" }
func (Progress) Code() string        { return "board/progress" }
func (p PhoneRefusal) Code() string  { return "phone/" + string(p) }
func (p PairMatter) Code() string    { return "pair/" + string(p) }

// Weight is how urgent the notice is.
func (PhonePaired) Weight() Weight     { return Aside }
func (HeldByPhone) Weight() Weight     { return Plain }
func (HeldByTerminal) Weight() Weight  { return Plain }
func (WrongTokens) Weight() Weight     { return Caution }
func (WrongCodes) Weight() Weight      { return Caution }
func (PhoneHandedOver) Weight() Weight { return Aside }
func (PhonePageOver) Weight() Weight   { return Plain }
