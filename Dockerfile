# One image for the site, the worker and the clock; compose.yaml says who runs what.
FROM python:3.11-slim-bookworm

ENV PYTHONUNBUFFERED=1 PYTHONDONTWRITEBYTECODE=1
WORKDIR /hub

# Letters for the maps that are given away as pictures: the image has none of its own.
RUN apt-get update && apt-get install --no-install-recommends --yes fonts-dejavu-core && rm -rf /var/lib/apt/lists/*

# The libraries change seldom and the code often, so each has its own layer.
COPY requirements.lock ./
RUN pip install --no-cache-dir --disable-pip-version-check --requirement requirements.lock

COPY manage.py ./
COPY stations stations
COPY network network
COPY templates templates
# Outside /data: a volume there would go on showing the files of an older image.
ENV HUB_STATIC=/hub/static
RUN HUB_SECRET_KEY=only-to-collect REDIS_URL=redis://none HUB_DATA=/tmp python manage.py collectstatic --no-input

# The program's own files stay root's: whoever breaks in as `hub` can write to its data and nothing else.
RUN useradd --system --home-dir /data --create-home hub
USER hub
ENV HUB_DATA=/data
VOLUME /data
EXPOSE 8000

CMD ["gunicorn", "network.wsgi:application", "--bind=0.0.0.0:8000", "--workers=2", "--threads=4"]
