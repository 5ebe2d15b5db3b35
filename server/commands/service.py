"""`python -m server service`: what the system needs so that the server starts at boot. It only prints.

The server is started as it is with `serve`, by the account that runs this, on the present store.
"""

import getpass
import os
import sys
from pathlib import Path
from xml.sax.saxutils import escape

from server import config

_UNIT = """\
# Save as /etc/systemd/system/tapermark.service, then:
#   systemctl daemon-reload && systemctl enable --now tapermark
# Make the folder of the backups first, on the disk where it is to be.
# What it says: journalctl -u tapermark
[Unit]
Description=Tapermark, the shop's server
Wants=network-online.target
After=network-online.target
RequiresMountsFor={mounts}

[Service]
User={user}
WorkingDirectory={folder}
Environment={store}
# DATABASE_URL, TAPERMARK_PROXIES and TAPERMARK_ZONE, where you use them: one NAME=value a line, readable by root alone.
EnvironmentFile=-/etc/tapermark.env
ExecStart={command}
Restart=always
RestartSec=5
TimeoutStopSec=30
NoNewPrivileges=yes
PrivateTmp=yes
ProtectSystem=strict
ReadWritePaths={writes}

[Install]
WantedBy=multi-user.target
"""

_TASK = """\
<?xml version="1.0" encoding="UTF-16"?>
<!-- Save as tapermark.xml, then in a command prompt of an administrator:
       schtasks /Create /TN Tapermark /XML tapermark.xml
     It runs as soon as the machine is on, as the account Local Service: let that account read this folder and change
     those of the store and the backups. It is started again when it ends. DATABASE_URL, TAPERMARK_PROXIES and
     TAPERMARK_ZONE, where you use them, have to be variables of the system. -->
<Task version="1.2" xmlns="http://schemas.microsoft.com/windows/2004/02/mit/task">
  <Triggers><BootTrigger><Enabled>true</Enabled></BootTrigger></Triggers>
  <Principals>
    <Principal id="Author"><UserId>S-1-5-19</UserId><RunLevel>LeastPrivilege</RunLevel></Principal>
  </Principals>
  <Settings>
    <MultipleInstancesPolicy>IgnoreNew</MultipleInstancesPolicy>
    <DisallowStartIfOnBatteries>false</DisallowStartIfOnBatteries>
    <StopIfGoingOnBatteries>false</StopIfGoingOnBatteries>
    <ExecutionTimeLimit>PT0S</ExecutionTimeLimit>
    <RestartOnFailure><Interval>PT1M</Interval><Count>999</Count></RestartOnFailure>
  </Settings>
  <Actions Context="Author">
    <Exec>
      <Command>{program}</Command>
      <Arguments>{arguments}</Arguments>
      <WorkingDirectory>{folder}</WorkingDirectory>
    </Exec>
  </Actions>
</Task>
"""


def unit(arguments: list[str], writes: list[Path]) -> str:
    """Return a systemd unit that runs `serve` with these arguments and may write into these folders."""
    store = config.store_folder()
    return _UNIT.format(
        user=getpass.getuser(),
        folder=str(config.ROOT).replace("%", "%%"),  # a path there is taken as it stands but for this
        store=_quoted(f"TAPERMARK_STORE={store}"),
        command=" ".join(_quoted(w).replace("$", "$$") for w in [sys.executable, "-m", "server", "serve", *arguments]),
        writes=" ".join(_quoted(str(path)) for path in dict.fromkeys([store, *writes])),
        mounts=" ".join(_quoted(str(path)) for path in dict.fromkeys([store, *writes])),
    )


def task(arguments: list[str]) -> str:
    """Return a task of the Windows scheduler that runs `serve` with these arguments, as the account Local Service."""
    words = ["-m", "server", "serve", "--store", str(config.store_folder()), *arguments]
    return _TASK.format(
        program=escape(sys.executable),
        arguments=escape(" ".join(f'"{word}"' if " " in word else word for word in words)),
        folder=escape(str(config.ROOT)),
    )


def run_service(arguments: list[str], writes: list[Path], windows: bool) -> int:
    print(task(arguments) if windows or os.name == "nt" else unit(arguments, writes), end="")
    return 0


def _quoted(word: str) -> str:
    """As systemd.syntax(7) reads it: quoted where there is a blank, with each % doubled."""
    text = word.replace("\\", "\\\\").replace('"', '\\"').replace("%", "%%")
    return f'"{text}"' if any(sign in text for sign in " \t'\"\\") else text
