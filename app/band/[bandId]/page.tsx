import type { Metadata } from 'next';
import { headers } from 'next/headers';
import { notFound } from 'next/navigation';
import { cache } from 'react';
import { pageData } from '../../../lib/protocol';
import { KeptPage } from '../../ui/KeptPage';
import { BandView } from '../BandView';
import { NotYours } from '../NotYours';

interface Props {
  readonly params: Promise<{ readonly bandId: string }>;
}

const load = cache(async (bandId: string) => {
  const cookie = (await headers()).get('cookie');
  return pageData().band(bandId, cookie);
});

export async function generateMetadata({ params }: Props): Promise<Metadata> {
  const page = await load((await params).bandId);
  return { title: page.ok ? page.value.band.name : 'A private band' };
}

export default async function BandRoute({ params }: Props) {
  const page = await load((await params).bandId);
  if (page.ok) {
    return (
      <>
        <BandView first={page.value} />
        <KeptPage version={page.value.you.playerId ?? ''} />
      </>
    );
  }
  if (page.error.code === 'not found') notFound();
  return <NotYours problem={page.error} />;
}
