"""`bedwright serve WORKS`: the pages of an adopted works, on this machine or for several."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import click

from bedsite.store import place_of
from bedwright.errors import NotReadable

PORT = 8017
LOOPBACK = ("127.0.0.1", "::1", "localhost")
EVERYWHERE = "0.0.0.0"


@dataclass(frozen=True, slots=True)
class Profile:
    """How the server is reached."""

    shared: bool
    address: str
    port: int
    names: tuple[str, ...]
    certificate: Path | None
    key: Path | None
    proxy: str

    @property
    def module(self) -> str:
        return "bedsite.settings.shared" if self.shared else "bedsite.settings.own_machine"

    @property
    def base(self) -> str:
        """What people type: scheme, name and port."""
        if not self.shared:
            return f"http://{_in_url(self.address)}:{self.port}"
        port = "" if self.proxy or self.port == 443 else f":{self.port}"
        return f"https://{_in_url(self.names[0])}{port}"


@click.command()
@click.argument("works", type=click.Path(path_type=Path))
@click.option("--port", type=click.IntRange(1, 65535), default=PORT, show_default=True, help="The port to listen on.")
@click.option("--shared", is_flag=True, help="For several machines: https only, with the three kinds of options below.")
@click.option(
    "--host-name", "names", multiple=True, metavar="NAME", help="A name that browsers call it by; several may."
)
@click.option("--address", metavar="ADDRESS", help="The address to listen on: 127.0.0.1, or 0.0.0.0 when shared.")
@click.option("--tls-certificate", "certificate", type=click.Path(path_type=Path), help="Certificate chain, PEM.")
@click.option("--tls-key", "key", type=click.Path(path_type=Path), help="Its private key, PEM, readable by you alone.")
@click.option("--behind-proxy", "proxy", metavar="ADDRESS", help="TLS is done by the proxy at this address.")
@click.option("--check", is_flag=True, help="Only look whether everything is in order; start nothing.")
def serve(
    works: Path,
    port: int,
    shared: bool,
    names: tuple[str, ...],
    address: str | None,
    certificate: Path | None,
    key: Path | None,
    proxy: str | None,
    check: bool,
) -> None:
    """Serve the pages of WORKS (an adopted folder): office, floor and long work, until told to stop with ^C.

    On your own machine: http on 127.0.0.1, nothing reaches in from outside. The first start prints a link that works
    once, for 15 minutes, on this machine: it makes the owner. There is no default password.

    For several machines: --shared with --host-name, and either --tls-certificate and --tls-key, or --behind-proxy with
    the address of the proxy that does TLS. The owner is made with  bedwright owner WORKS.
    """
    from bedcli.serving import check_all, run_server

    profile = chosen(port, shared, names, address, certificate, key, proxy)
    place = place_of(works)
    if place is None:
        raise NotReadable(f"{works} has no ledger yet; take its workbook in with  bedwright adopt {works}")
    if check:
        raise click.exceptions.Exit(check_all(works, place, profile))
    run_server(works, place, profile)


def chosen(
    port: int,
    shared: bool,
    names: tuple[str, ...],
    address: str | None,
    certificate: Path | None,
    key: Path | None,
    proxy: str | None,
) -> Profile:
    """The profile that the options ask for. Raises NotReadable for what is not safe, or does not fit together."""
    if not shared:
        given = [
            ("--host-name", names),
            ("--tls-certificate", certificate),
            ("--tls-key", key),
            ("--behind-proxy", proxy),
        ]
        for option, value in given:
            if value:
                raise NotReadable(f"{option} is for several machines; add --shared, or leave it out")
        if (address or LOOPBACK[0]) not in LOOPBACK:
            raise NotReadable(
                f"--address {address} lets other machines in over plain http; leave it out to serve this machine, "
                "or add --shared with TLS"
            )
        plain = LOOPBACK[0] if address in (None, "localhost") else str(address)
        return Profile(False, plain, port, (), None, None, "")
    _refuse_half_shared(names, certificate, key, proxy)
    listen = address or (LOOPBACK[0] if proxy in LOOPBACK else EVERYWHERE)
    return Profile(True, _plain_address("--address", listen), port, names, certificate, key, proxy or "")


def _refuse_half_shared(names: tuple[str, ...], certificate: Path | None, key: Path | None, proxy: str | None) -> None:
    if not names:
        raise NotReadable("--shared needs --host-name: the name by which browsers call this server")
    for name in names:
        if not name or any(sign in name for sign in "*/:, \t") or name.startswith("."):
            raise NotReadable(f"--host-name {name!r} is no name of one host; write it as works.example, without port")
    if bool(certificate) != bool(key):
        raise NotReadable("--tls-certificate and --tls-key go together")
    if proxy and certificate:
        raise NotReadable("either --tls-certificate and --tls-key, or --behind-proxy; not both")
    if not proxy and not certificate:
        raise NotReadable(
            "passwords never go over a network in the clear: give --tls-certificate and --tls-key, "
            "or --behind-proxy with the address of the proxy that does TLS"
        )
    if proxy:
        _plain_address("--behind-proxy", proxy)
    for file in (certificate, key):
        if file is not None and not file.is_file():
            raise NotReadable(f"{file} is not there")


def _plain_address(option: str, text: str) -> str:
    import ipaddress

    try:
        return str(ipaddress.ip_address("127.0.0.1" if text == "localhost" else text))
    except ValueError:
        raise NotReadable(f"{option} {text!r} is no address; write it as 127.0.0.1 or ::1") from None


def _in_url(host: str) -> str:
    return f"[{host}]" if ":" in host else host
