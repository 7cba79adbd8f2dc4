package web

import (
	"crypto/tls"
	"crypto/x509"
	"errors"
	"io/fs"
	"net"
	"strings"
	"syscall"
)

// Advice is what to do when the controller could not be listened to.
func Advice(err error) string {
	var unknown *net.DNSError
	var foreign x509.UnknownAuthorityError
	var name x509.HostnameError
	var invalid x509.CertificateInvalidError
	var record tls.RecordHeaderError
	switch {
	case errors.Is(err, syscall.EADDRINUSE):
		return "another program listens at this port already: end it, or write another port as at"
	case errors.Is(err, syscall.EADDRNOTAVAIL):
		return "this computer has no such address now: write one that it has, or 0.0.0.0, as at"
	case errors.Is(err, syscall.EACCES):
		return "this port is for the system only: write one above 1023"
	case errors.Is(err, ErrStatus):
		return "the controller is there: check url, user, password or token in controller.yaml"
	case errors.As(err, &unknown):
		return "no such host is known here: check the name in controller.yaml, and this computer's network"
	case errors.As(err, &foreign):
		return "its certificate is of an authority that this computer does not know: name its PEM file as ca_file"
	case errors.As(err, &name):
		return "its certificate is for another name: write the name that it is for"
	case errors.As(err, &invalid):
		return "its certificate is not valid now: check its dates, and the clock of this computer"
	case errors.As(err, &record), strings.Contains(err.Error(), "HTTP response to HTTPS"):
		return "what answers there does not speak TLS: check the port, or write http:// if there is none"
	case errors.Is(err, fs.ErrNotExist):
		return "check the paths of files in controller.yaml: they count from its folder"
	case errors.Is(err, syscall.ECONNREFUSED):
		return "nothing listens at this port: check the address, and whether the controller runs"
	case errors.Is(err, errSlow):
		return "nothing answers in time: check the address, the network, and timeout in controller.yaml"
	}
	return "check addresses and files in controller.yaml"
}
