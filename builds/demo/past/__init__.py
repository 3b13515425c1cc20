"""A believable past of any size: some jobs are done for once, then told again with other names."""
