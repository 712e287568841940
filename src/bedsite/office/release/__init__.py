"""Release: order lines chosen by van become works orders, runs and serials that last."""
