"""A house on its Friday, live on this machine: guests come by themselves, robots make the drinks.

Everything goes over the public HTTP interface, as a till and a screen would do it: `guests` post
tickets, a robot stands at each `stations` and taps, a `runner` carries made rounds away. `paced`
is the clock they share with the service, `run` puts it together.
"""
